package hourly

import "slices"

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
