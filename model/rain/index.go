package rain

import "math"

// Hour is one hour of wind and rain.
type Hour struct {
	Wind float64 // m/s at 10 m, open country
	From float64 // degrees clockwise from north that the wind comes from
	Rain float64 // mm in the hour
}

// hourly returns (2/9)·v·r^(8/9) l/m²: what an hour drives onto a wall that
// faces straight into the wind.
func hourly(wind, rain float64) float64 {
	return 2.0 / 9 * wind * math.Pow(rain, 8.0/9)
}

// AirfieldIndex returns the annual airfield index in l/m²a for a wall facing
// orientation (degrees clockwise from north), over hours that span the given
// number of years (> 0). Source: ISO 15927-3:2009, clause 4.
func AirfieldIndex(hours []Hour, years, orientation float64) float64 {
	sum := 0.0
	for _, h := range hours {
		if c := facing(h.From, orientation); c > 0 && h.Rain > 0 {
			sum += hourly(h.Wind, h.Rain) * c
		}
	}
	return sum / years
}

// facing is the cosine between wind and wall.
func facing(from, orientation float64) float64 {
	return math.Cos((from - orientation) * math.Pi / 180)
}
