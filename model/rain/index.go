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

// spellGap is the length in h without driving rain on the wall that ends a
// spell. Source: ISO 15927-3:2009 and BS 8104, 96 h.
const spellGap = 96

// WorstSpell returns the largest airfield spell index in l/m² within hours, for
// a wall facing orientation, and the hours of rain on the wall in that spell.
// Hours follow each other without holes.
func WorstSpell(hours []Hour, orientation float64) (index, wet float64) {
	sum, count, gap := 0.0, 0.0, 0
	for _, h := range hours {
		c := facing(h.From, orientation)
		if c <= 0 || h.Rain <= 0 || h.Wind <= 0 {
			if gap++; gap >= spellGap {
				sum, count = 0, 0
			}
			continue
		}
		gap = 0
		sum += hourly(h.Wind, h.Rain) * c
		count++
		if sum > index {
			index, wet = sum, count
		}
	}
	return index, wet
}

// DrivingRainIndex returns the product of annual rain (mm) and mean wind (m/s)
// in m²/s, the coarse measure of exposure of Lacy 1977.
func DrivingRainIndex(rain, wind float64) float64 { return rain / 1000 * wind }
