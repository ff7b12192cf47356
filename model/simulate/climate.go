package simulate

import (
	"sync"

	"wallsift/model/air"
	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/transient"
)

// Climate is an hourly year with what walls need of it. It is filled on first
// use and may be shared.
type Climate struct {
	ID        string               // names the weather for keys: equal ids mean equal hours
	Label     string               // for people: which year this is
	Hours     func() *hourly.Hours // made on first use
	Latitude  float64
	Longitude float64 // 0 where the clock is local mean solar time
	TimeZone  float64 // h, likewise
	Room      float64 // °C, least room temperature under the humidity classes

	once   sync.Once
	site   *transient.Site
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
	in := &c.indoor[rule]
	in.once.Do(func() {
		h := c.Hours()
		n := len(h.Theta)
		pe := make([]float64, n)
		for k := range pe {
			pe[k] = h.RH[k] * air.Psat(h.Theta[k])
		}
		te, pe := aroundDay(h.Theta), aroundDay(pe)
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

// weather is what all faces share of the climate.
func (c *Climate) weather() *transient.Site {
	c.once.Do(func() {
		w := transient.Weather(*c.Hours().Liquid())
		c.site = transient.NewSite(&w, c.Latitude, c.Longitude, c.TimeZone)
	})
	return c.site
}

// Toward returns what strikes a face in the open that looks to azimuth: driving rain,
// kg/m²a, and the mean of the short-wave radiation, W/m².
func (c *Climate) Toward(azimuth float64) (rain, sun float64) {
	return c.weather().Toward(azimuth, albedo)
}
