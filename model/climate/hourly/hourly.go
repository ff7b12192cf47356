// Package hourly makes a year of hourly weather from a station's monthly
// figures, with the same bytes for the same station, seed and deviate, and holds
// the sun and sky formulas that weather files need as well. It refuses to know
// about walls, files and the source of the monthly figures.
//
// The clock is local mean solar time of the station: the sun stands highest at
// 12:00 on the mean of the year, and off it by the equation of time. An engine
// that turns clock into sun takes longitude 0 and time zone 0 for these hours,
// and the station's own latitude. There are 365 days; hour k is the mean over
// the clock hour from k to k+1.
//
// What is exact (to round-off): the monthly means of temperature, relative
// humidity, wind and global radiation, the monthly sum of precipitation, the
// number of its days. What is near: the means of the daily extremes (see
// Generate), and the driving rain on eight walls, to a quarter of what package
// rain estimates from the same figures. What is set after records: the wind, the
// humidity and the depths of wet hours. What is plausible only: the order of the
// days, the split of radiation, the sky.
package hourly

import (
	"slices"

	"wallsift/model/climate"
)

// HoursPerYear is the length of a year of 365 days.
const HoursPerYear = 8760

// Hours is a year of hourly means, all slices of one length (or nil, where a
// weather file lacks the quantity). Its fields are those of the transient
// engine's weather, so that one converts into the other.
type Hours struct {
	Theta        []float64 // air temperature, °C
	RH           []float64 // relative humidity, 0–1
	Wind         []float64 // m/s at 10 m, open country
	WindFrom     []float64 // degrees clockwise from north, 0–360
	Rain         []float64 // all precipitation, mm/h of water; see Liquid
	DirectNormal []float64 // W/m²
	Diffuse      []float64 // on the horizontal, W/m²
	Global       []float64 // on the horizontal, W/m²
	SkyTheta     []float64 // effective sky temperature, °C
}

// year is a year under way: what one quantity hands to the next.
type year struct {
	figures climate.Station
	seed    uint64
	wet     [days]bool // days with precipitation
	sky     []float64  // clearness by the hour, unbounded, of mean zero or so
	clear   []float64  // clearness by the hour, 0 overcast to 1 clear
	Hours
}

// Method names how hours are made: change it whenever the same arguments may give
// others. TestMethodNamesTheHours holds it.
const Method = "hours-1"

// Generate makes a year of a station in which climate.Validate finds no fault. The
// deviate says how bad a year, as a standard normal value of the year's driving rain:
// 0 the mean year, OneInTen the year passed once in ten, up to 4 to either side. The
// figures it meets are those of Figures (except that no more sun comes than stands
// above the horizon, in polar winter). The monthly means of the daily
// extremes of Theta, formed from hourly means, are met to 0.1 K in 99 months of 100
// and to 0.3 K in 999 of 1000; 0.6 K is the worst seen. The same arguments give the
// same bytes on one kind of processor.
func Generate(s *climate.Station, seed uint64, deviate float64) *Hours {
	y := year{figures: Figures(s, deviate), seed: seed}
	y.rain()
	y.clouds()
	y.radiation()
	y.temperature()
	y.humidity()
	y.wind()
	y.direction()
	y.skyTemperature()
	return &y.Hours
}

// Precipitation falls half as rain, half as snow at 1 °C in air of common
// humidity (Jennings et al. 2018, from memory); the straight line over two
// kelvin about it is a choice of this tool.
const (
	allSnow = 0.0 // °C
	allRain = 2.0 // °C
)

// Liquid returns the hours with the snow taken out of Rain: what a face can be
// wetted by. The other slices are shared with h, which is left as it was.
func (h *Hours) Liquid() *Hours {
	out := *h
	out.Rain = slices.Clone(h.Rain)
	for k := range out.Rain {
		out.Rain[k] *= liquidShare(h.Theta[k])
	}
	return &out
}

// liquidShare is the share of an hour's precipitation that falls as rain in air
// at theta, °C.
func liquidShare(theta float64) float64 {
	return max(0, min((theta-allSnow)/(allRain-allSnow), 1))
}

// Months returns the monthly figures of the hours: means of temperature, humidity,
// wind and global radiation, sums of rain. What the hours lack stays zero.
func (h *Hours) Months() (f climate.Station) {
	for m := range 12 {
		f.Temp[m], f.RH[m], f.Wind[m], f.Sun[m] = mean(h.Theta, m), mean(h.RH, m), mean(h.Wind, m), mean(h.Global, m)
		f.Rain[m] = 24 * float64(climate.Days[m]) * mean(h.Rain, m)
	}
	return f
}
