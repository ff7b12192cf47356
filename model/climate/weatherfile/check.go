package weatherfile

import (
	"errors"
	"fmt"
	"math"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
)

// Check holds a year against physics and against the monthly figures of the station
// whose hours it is to replace. What is too far off to be weather, as after a slip of
// units, of the clock or of the hemisphere, is an *Error that names the month and
// what the figures look like; what is merely unusual is a note of the place. The
// place must be Located. All bounds are choices of this tool, wide enough for any
// year of the place and for a neighbouring station.
func Check(name string, h *hourly.Hours, p *Place, s *climate.Station) error {
	c := checker{faults: faults{file: name}, place: p, station: s}
	own := h.Months()
	if math.Abs(p.Latitude-s.Latitude) > 2 || math.Abs(math.Remainder(p.Longitude-s.Longitude, 360)) > 5 && p.Longitude != 0 {
		p.note("The file is of %.1f° N, %.1f° E, the station lies at %.1f° N, %.1f° E.", p.Latitude, p.Longitude, s.Latitude, s.Longitude)
	}
	for i, of := range [...]struct {
		hours      []float64
		own, usual *climate.Months
	}{{h.Theta, &own.Temp, &s.Temp}, {h.RH, &own.RH, &s.RH}, {h.Wind, &own.Wind, &s.Wind}, {h.Rain, &own.Rain, &s.Rain}, {h.Global, &own.Sun, &s.Sun}} {
		if of.hours != nil {
			c.compare(&gauges[i], of.own, of.usual)
		}
	}
	for m := range 12 {
		if h.Rain != nil && own.Rain[m] == 0 && s.RainDays[m] >= sureRain && len(c.list) == 0 {
			c.add("rain", fmt.Sprintf("none in month %d", m+1), fmt.Sprintf("rain on about %.3g days as at station %s", s.RainDays[m], s.ID),
				"a month without a gauge reads zero: give its rain, or leave the column out")
		}
	}
	if h.WindFrom != nil {
		c.direction(h)
	}
	if h.Global != nil && len(c.list) == 0 {
		sun := hourly.NewSun(p.Latitude, p.Longitude, p.TimeZone)
		c.clock(h.Global, sun)
		if h.DirectNormal != nil && h.Diffuse != nil {
			c.parts(h, sun)
		}
	}
	return errors.Join(c.list...)
}

type checker struct {
	faults
	place   *Place
	station *climate.Station
}

// gauge is how far a quantity may lie off its station, for the year and for a month,
// before it is noted or refused: as a difference, or as a factor to either side.
type gauge struct {
	what, unit  string
	slight      float64 // > 0: the bounds are factors, blunted for figures as slight as this
	note, fault [2]float64
	slips       []slip
}

// slip is a common error: it turns the right figure into factor times it plus shift.
type slip struct {
	factor, shift float64
	word          string
}

// gauges of temperature, humidity, wind, rain and sun.
var gauges = [...]gauge{
	{"temperature", "°C", 0, [2]float64{2, 6}, [2]float64{5, 12},
		[]slip{{1.8, 32, "degrees Fahrenheit"}, {0.1, 0, "tens of degrees"}, {10, 0, "tenths of a degree"}}},
	{"relative humidity", "(0 to 1)", 0, [2]float64{0.08, 0.15}, [2]float64{0.2, 0.35},
		[]slip{{0, minRH, "a share under a header of per cent, or zeros"}, {0, 1, "per cent under a header of shares"}}},
	{"wind", "m/s", 0.3, [2]float64{1.6, 3}, [2]float64{2.1, 6},
		[]slip{{3.6, 0, "km/h"}, {2.237, 0, "miles an hour"}, {1.944, 0, "knots"}, {0, 0, "zeros"}}},
	{"rain", "mm", 10, [2]float64{1.6, 5}, [2]float64{3, none},
		[]slip{{0.001, 0, "metres"}, {0.03937, 0, "inches"}, {0.1, 0, "centimetres"}, {10, 0, "tenths of a millimetre"}, {0, 0, "zeros"}}},
	{"global radiation", "W/m²", 5, [2]float64{1.15, 1.6}, [2]float64{1.5, 3},
		[]slip{{3.6, 0, "kJ/m²"}, {0.001, 0, "kW/m²"}, {0.0036, 0, "MJ/m²"}, {0, 0, "zeros"}, {0.0864, 0, "MJ/m² a day"}}},
}

// compare tells the year and the month that is furthest off.
func (c *checker) compare(g *gauge, own, want *climate.Months) {
	off := func(own, want float64) float64 {
		if g.slight == 0 {
			return math.Abs(own - want)
		}
		return (max(own, want) + g.slight) / (min(own, want) + g.slight)
	}
	worst := 0
	for m := range own {
		if off(own[m], want[m]) > off(own[worst], want[worst]) {
			worst = m
		}
	}
	ownMean, wantMean := climate.YearMean(*own), climate.YearMean(*want)
	year, month := off(ownMean, wantMean), off(own[worst], want[worst])
	told := fmt.Sprintf("%.3g %s in month %d, %.3g in the mean", own[worst], g.unit, worst+1, ownMean)
	usual := fmt.Sprintf("about %.3g and %.3g, as at station %s", want[worst], wantMean, c.station.ID)
	switch {
	case year > g.fault[0] || month > g.fault[1]:
		c.add(g.what, told, usual, g.advice(own, want))
	case year > g.note[0] || month > g.note[1]:
		c.place.note("The %s is unusual: %s; expected %s.", g.what, told, usual)
	}
}

// advice names the slip that explains the figures, if one does.
func (g *gauge) advice(own, want *climate.Months) string {
	distance := func(of func(m int) float64) (sum float64) {
		for m := range own {
			sum += math.Abs(own[m]-of(m)) / (math.Abs(own[m]) + math.Abs(of(m)) + 1e-3)
		}
		return sum
	}
	nearest, word := 0.5*distance(func(m int) float64 { return want[m] }), ""
	for _, s := range g.slips {
		if d := distance(func(m int) float64 { return s.factor*want[m] + s.shift }); d < nearest {
			nearest, word = d, s.word
		}
	}
	if d := distance(func(m int) float64 { return want[(m+6)%12] }); d < nearest {
		return "the months look turned by half a year: give a file of the station's own side of the equator"
	}
	if word != "" {
		return fmt.Sprintf("the values look like %s: convert them, or give a file of this place", word)
	}
	return "give a file of this place, or the station's own figures if they are wrong"
}

const (
	// sureRain is the number of usual rain days with which a month without rain is not
	// weather: once in 400 months if the days were drawn alone.
	sureRain = 6
	// darkShare is the share of a year's radiation that may fall while the sun is
	// below the horizon: twilight and hours rounded to a half. darkFault is refused.
	darkShare, darkFault = 0.01, 0.04
)

// clock finds sun at night, and the hours by which the clock would be off.
func (c *checker) clock(global []float64, sun hourly.Sun) {
	sum, dark, best, fit := 0.0, 0.0, 0, 0.0
	for k, g := range global {
		sum += g
		if sun[k].Up == 0 {
			dark += g
		}
	}
	n := len(global)
	for shift := -11; shift <= 12; shift++ {
		with := 0.0
		for k, g := range global {
			with += g * sun[((k+shift)%n+n)%n].Up
		}
		if with > fit {
			best, fit = shift, with
		}
	}
	told := fmt.Sprintf("%.0f %% of it while the sun is down", 100*dark/sum)
	switch {
	case dark > darkFault*sum && best != 0:
		c.add("global radiation", told, "light while the sun is up",
			fmt.Sprintf("the clock looks %d h off: correct time_zone_h and longitude_deg, or the rows' order", best))
	case dark > darkFault*sum:
		c.add("global radiation", told, "light while the sun is up", "correct the values at night, or leave the column out")
	case dark > darkShare*sum || best != 0:
		c.place.note("Of the radiation, %s; the clock may be %d h off.", told, best)
	}
}

// partsFault is the share of a year's radiation by which direct and diffuse radiation
// may miss the global, hour by hour.
const partsFault = 0.3

// parts finds direct and diffuse radiation in another unit or by another clock than
// the global radiation that they make up.
func (c *checker) parts(h *hourly.Hours, sun hourly.Sun) {
	sum, missed := 0.0, 0.0
	for k, g := range h.Global {
		sum += g
		missed += math.Abs(h.DirectNormal[k]*sun[k].Up + h.Diffuse[k] - g)
	}
	if missed > partsFault*sum {
		c.add("direct and diffuse radiation", fmt.Sprintf("%.0f %% of the global radiation missed, hour by hour", 100*missed/sum), "parts that make the global radiation",
			"give all three in W/m² by one clock, or leave direct and diffuse radiation out")
	}
}

const (
	// oneWay is how much of a year's wind may point one way (1: all of it; 0.95: it
	// turns by 18°, once the standard deviation). Trade winds stay below.
	oneWay = 0.95
	// lee is the angle in degrees to the side that the station has its rain from
	// beyond which driving rain is noted, where it has a side.
	lee, sided = 120, 0.3
)

// direction finds a wind that does not turn, as in a column of zeros, radians or
// numbers of the compass, and rain from the lee, as where the column says where the
// wind blows to.
func (c *checker) direction(h *hourly.Hours) {
	mean := func(weight func(k int) float64) (from, share float64) {
		x, y, sum := 0.0, 0.0, 0.0
		for k, d := range h.WindFrom {
			w := weight(k)
			sin, cos := math.Sincos(d * math.Pi / 180)
			x, y, sum = x+w*cos, y+w*sin, sum+w
		}
		return math.Mod(math.Atan2(y, x)*180/math.Pi+360, 360), math.Hypot(x, y) / max(sum, math.SmallestNonzeroFloat64)
	}
	if from, share := mean(func(int) float64 { return 1 }); share > oneWay {
		c.add("wind direction", fmt.Sprintf("%.0f° at nearly all hours", from), "a wind that turns",
			"give degrees from north, 0 to 360, or leave the column out")
		return
	}
	if h.Rain == nil || h.Wind == nil {
		return
	}
	from, share := mean(func(k int) float64 { return h.Wind[k] * math.Pow(h.Rain[k], 8.0/9) })
	if off := math.Abs(math.Remainder(from-c.station.RainFrom, 360)); share > sided && off > lee {
		c.place.note("Driving rain comes from about %.0f°, at the station from %.0f°: does the column say where the wind blows to?", from, c.station.RainFrom)
	}
}
