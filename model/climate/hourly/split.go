package hourly

import "math"

// DiffuseShare returns the diffuse share of global radiation for the clearness
// index kt (≥ 0) of the hour. Source: Erbs, Klein & Duffie 1982, from memory.
func DiffuseShare(kt float64) float64 {
	switch {
	case kt <= 0.22:
		return 1 - 0.09*max(kt, 0)
	case kt <= 0.80:
		return 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
	}
	return 0.165
}

// SplitGlobal splits a year of 8760 hourly means of global radiation on the
// horizontal (W/m², ≥ 0) into direct normal and diffuse horizontal radiation.
// latitude and longitude in degrees north and east, timeZone of the clock in
// hours ahead of UTC. It keeps global = diffuse + direct·(mean sine of the sun's
// height). Hours with the sun below the horizon at their middle are all diffuse.
// Another length than 8760 panics.
func SplitGlobal(global []float64, latitude, longitude, timeZone float64) (direct, diffuse []float64) {
	return split(global, sunYear(latitude, longitude, timeZone))
}

func split(global []float64, sun []sunHour) (direct, diffuse []float64) {
	if len(global) != len(sun) {
		panic("hourly: SplitGlobal wants 8760 hours")
	}
	direct, diffuse = make([]float64, len(global)), make([]float64, len(global))
	for k, g := range global {
		h := &sun[k]
		diffuse[k] = g
		if h.middle <= 0 || h.above <= 0 {
			continue
		}
		beam := g * (1 - DiffuseShare(g/h.above)) / h.up
		direct[k] = min(beam, clearBeam(h))
		diffuse[k] = max(0, g-direct[k]*h.up)
	}
	return direct, diffuse
}

// clearBeam is the direct normal radiation of a clear sky, W/m², with a tenth
// more for very clear ones: the most that a low sun is given. Source: Meinel &
// Meinel 1976, 0.7^(m^0.678), from memory; air mass after Kasten & Young 1989.
func clearBeam(h *sunHour) float64 {
	height := math.Asin(min(h.up, 1)) / rad
	mass := 1 / (h.up + 0.50572*math.Pow(height+6.07995, -1.6364))
	return 1.1 * h.above / h.up * math.Pow(0.7, math.Pow(mass, 0.678))
}

// SunHeights returns the mean sine of the sun's height in each of 8760 hours,
// with the sun below the horizon counted as zero. Arguments as for SplitGlobal.
func SunHeights(latitude, longitude, timeZone float64) []float64 {
	out := make([]float64, HoursPerYear)
	for k, h := range sunYear(latitude, longitude, timeZone) {
		out[k] = h.up
	}
	return out
}
