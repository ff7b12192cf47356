package simulate

import (
	"fmt"
	"sync"

	"wallsift/model/air"
	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/transient"
)

// Climate is an hourly year with what walls need of it. It is filled on first
// use and may be shared.
type Climate struct {
	ID        string // names the weather for keys: equal ids mean equal hours
	Label     string // for people: which year this is
	Hours     *hourly.Hours
	Latitude  float64
	Longitude float64 // 0 where the clock is local mean solar time
	TimeZone  float64 // h, likewise
	Room      float64 // °C, least room temperature under the humidity classes

	// site is what all faces share of the weather, made on first use.
	once   sync.Once
	site   *transient.Site
	err    error
	indoor [climate.IndoorRules]struct {
		once sync.Once
		air  transient.Indoor
	}
}

// Surface properties that hardly differ between walls: long-wave emissivity of
// masonry and renders, and reflection of the ground; handbook values, from
// memory.
const (
	emissivity = 0.9
	albedo     = 0.2
)

// At returns the room's hourly air under a rule. The rules speak of means, so
// the outdoor air is averaged over the 24 hours about each.
func (c *Climate) At(rule climate.Indoor) *transient.Indoor {
	if rule > climate.IndoorHigh {
		rule = 0
	}
	in := &c.indoor[rule]
	in.once.Do(func() {
		n := len(c.Hours.Theta)
		pe := make([]float64, n)
		for k := range pe {
			pe[k] = c.Hours.RH[k] * air.Psat(c.Hours.Theta[k])
		}
		te, pe := aroundDay(c.Hours.Theta), aroundDay(pe)
		in.air = transient.Indoor{Theta: make([]float64, n), RH: make([]float64, n)}
		for k := range te {
			ti, pi := rule.Room(c.Room, te[k], pe[k])
			in.air.Theta[k], in.air.RH[k] = ti, min(pi/air.Psat(ti), 1)
		}
	})
	return &in.air
}

// aroundDay returns the mean over the 24 hours about each hour; the year is
// taken as a ring.
func aroundDay(v []float64) []float64 {
	n := len(v)
	out := make([]float64, n)
	sum := 0.0
	for k := -12; k < 12; k++ {
		sum += v[(k+n)%n]
	}
	for k := range out {
		out[k] = sum / 24
		sum += v[(k+12)%n] - v[(k-12+n)%n]
	}
	return out
}

// forcing names what shapes a drive; equal ones share it.
type forcing struct {
	climate       *Climate
	indoor        climate.Indoor
	azimuth, rain float64
	wind, sun     float64
	gain          float64
	block         int
}

// drive compiles the forcing of a face, gathered in blocks.
func (f *forcing) drive() (*transient.Drive, error) {
	y := f.climate
	y.once.Do(func() {
		w := transient.Weather(*y.Hours.Liquid())
		y.site, y.err = transient.NewSite(&w, y.Latitude, y.Longitude, y.TimeZone)
	})
	if y.err != nil {
		return nil, fmt.Errorf("weather %s: %w", y.ID, y.err)
	}
	face := transient.Face{Azimuth: f.azimuth, Absorptivity: f.gain, Emissivity: emissivity, GroundAlbedo: albedo, Latitude: y.Latitude,
		Longitude: y.Longitude, TimeZone: y.TimeZone, RainCoefficient: f.rain, Wind: f.wind, Sun: f.sun}
	d, err := y.site.Drive(&face, y.At(f.indoor), f.block)
	if err != nil {
		return nil, fmt.Errorf("weather %s: %w", y.ID, err)
	}
	return d, nil
}
