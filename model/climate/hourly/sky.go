package hourly

import (
	"math"

	"wallsift/model/air"
)

// clearIndex is the clearness of a cloudless hour against which clouds are read.
const clearIndex = 0.75

// skyTemperature fills SkyTheta.
func (y *year) skyTemperature() {
	y.SkyTheta = make([]float64, HoursPerYear)
	for k := range y.SkyTheta {
		index := dullest + (clearest-dullest)*y.clear[k]
		y.SkyTheta[k] = SkyTemperature(y.Theta[k], y.RH[k], cloudCover(index/clearIndex))
	}
}

// cloudCover inverts G/G_clear = 1 − 0.75·N^3.4 of Kasten & Czeplak 1980 (from
// memory) for the cover N, 0–1.
func cloudCover(clearness float64) float64 {
	return math.Pow(max(0, min((1-clearness)/0.75, 1)), 1/3.4)
}

// SkyTemperature returns the effective temperature of the sky in °C for air at
// theta (°C) with relative humidity rh (0–1, > 0) under a cloud cover of 0–1.
// Emissivity of a clear sky after Berdahl & Martin 1984, the clouds' part in it
// after Unsworth & Monteith 1975; both from memory.
func SkyTemperature(theta, rh, cloud float64) float64 {
	dew := air.DewPoint(max(rh, 0.01)*air.Psat(theta)) / 100
	clear := 0.711 + 0.56*dew + 0.73*dew*dew
	e := (1-0.84*cloud)*clear + 0.84*cloud
	return (theta+air.KelvinOffset)*math.Pow(max(0.3, min(e, 1)), 0.25) - air.KelvinOffset
}

// unseenCloud is the cover of a day without sun, which tells nothing of clouds.
const unseenCloud = 0.6

// Sky estimates the sky temperature (°C) of the year's hours of temperature (°C),
// relative humidity (0–1) and global radiation (W/m²) where it was not measured: each
// day's cloud is read from its clearness.
func (s Sun) Sky(theta, rh, global []float64) []float64 {
	out := make([]float64, HoursPerYear)
	for d := range days {
		light, above := total(global[24*d:24*d+24]), 0.0
		for _, h := range s[24*d : 24*d+24] {
			above += h.above
		}
		cloud := unseenCloud
		if above > 24 { // 1 W/m² in the mean
			cloud = cloudCover(light / above / clearIndex)
		}
		for k := 24 * d; k < 24*d+24; k++ {
			out[k] = SkyTemperature(theta[k], rh[k], cloud)
		}
	}
	return out
}
