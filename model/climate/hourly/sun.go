package hourly

import (
	"math"

	"wallsift/model/air"
)

const (
	solarConstant = 1361.0 // W/m²
	rad           = math.Pi / 180
	// subSteps of an hour over which the sun's height is averaged.
	subSteps = 6
)

// sunDay holds what of the sun changes from day to day.
type sunDay struct {
	sinDecl, cosDecl float64
	shift            float64 // solar time minus clock time, h
	above            float64 // normal radiation above the air, W/m²
}

// newSunDay gives declination and equation of time after Spencer 1971 and the
// distance of the sun after Duffie & Beckman (from memory), for the day of the
// year with its fraction, 0 at the start of 1 January. offset is longitude/15
// minus the time zone, h.
func newSunDay(day, offset float64) sunDay {
	g := 2 * math.Pi * day / 365
	decl := 0.006918 - 0.399912*math.Cos(g) + 0.070257*math.Sin(g) - 0.006758*math.Cos(2*g) +
		0.000907*math.Sin(2*g) - 0.002697*math.Cos(3*g) + 0.00148*math.Sin(3*g)
	eot := 229.18 / 60 * (0.000075 + 0.001868*math.Cos(g) - 0.032077*math.Sin(g) -
		0.014615*math.Cos(2*g) - 0.040849*math.Sin(2*g))
	return sunDay{math.Sin(decl), math.Cos(decl), eot + offset, solarConstant * (1 + 0.033*math.Cos(g))}
}

// height returns the sine of the sun's height at clock hour t of the day.
func (d *sunDay) height(sinLat, cosLat, t float64) float64 {
	return sinLat*d.sinDecl + cosLat*d.cosDecl*math.Cos((t+d.shift-12)*15*rad)
}

// sunHour is the sun over one hour.
type sunHour struct {
	Up      float64 // mean of the sine of its height, below the horizon as zero
	middle  float64 // that sine at the middle of the hour, may be negative
	above   float64 // mean on the horizontal above the air, W/m²
	profile float64 // clearness of the hour over that of the day
}

// Sun is the sun over the 8760 hours of a year at one place.
type Sun []sunHour

// NewSun computes it for degrees north and east and a clock in hours ahead of UTC.
func NewSun(latitude, longitude, timeZone float64) Sun {
	out := make(Sun, HoursPerYear)
	sinLat, cosLat := math.Sin(latitude*rad), math.Cos(latitude*rad)
	for day := range days {
		d := newSunDay(float64(day)+0.5, longitude/15-timeZone)
		sunset := math.Acos(max(-1, min(1, -sinLat*d.sinDecl/max(cosLat*d.cosDecl, 1e-9))))
		for hour := range 24 {
			h := &out[24*day+hour]
			for i := range subSteps {
				t := float64(hour) + (float64(i)+0.5)/subSteps
				h.Up += max(0, d.height(sinLat, cosLat, t)) / subSteps
			}
			h.middle = d.height(sinLat, cosLat, float64(hour)+0.5)
			h.above = d.above * h.Up
			h.profile = dayProfile((float64(hour)+0.5+d.shift-12)*15*rad, sunset)
		}
	}
	return out
}

// dayProfile is the ratio of an hour's clearness to the day's, for the hour
// angle and that of sunset. Source: Collares-Pereira & Rabl 1979, from memory.
func dayProfile(angle, sunset float64) float64 {
	s := math.Sin(sunset - math.Pi/3)
	return max(0.1, 0.409+0.5016*s+(0.6609-0.4767*s)*math.Cos(angle))
}

// diffuseShare returns the diffuse share of global radiation for the clearness
// index kt (≥ 0) of the hour. Source: Erbs, Klein & Duffie 1982, from memory.
func diffuseShare(kt float64) float64 {
	switch {
	case kt <= 0.22:
		return 1 - 0.09*max(kt, 0)
	case kt <= 0.80:
		return 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
	}
	return 0.165
}

// Split splits a year of hourly means of global radiation on the horizontal (W/m²,
// ≥ 0) into direct normal and diffuse horizontal radiation. It keeps global = diffuse
// + direct·(mean sine of the sun's height). Hours with the sun below the horizon at
// their middle are all diffuse.
func (s Sun) Split(global []float64) (direct, diffuse []float64) {
	direct, diffuse = make([]float64, len(global)), make([]float64, len(global))
	for k, g := range global {
		h := &s[k]
		diffuse[k] = g
		if h.middle <= 0 || h.above <= 0 {
			continue
		}
		beam := g * (1 - diffuseShare(g/h.above)) / h.Up
		direct[k] = min(beam, clearBeam(h))
		diffuse[k] = max(0, g-direct[k]*h.Up)
	}
	return direct, diffuse
}

// clearBeam is the direct normal radiation of a clear sky, W/m², with a tenth
// more for very clear ones: the most that a low sun is given. Source: Meinel &
// Meinel 1976, 0.7^(m^0.678), from memory; air mass after Kasten & Young 1989.
func clearBeam(h *sunHour) float64 {
	height := math.Asin(min(h.Up, 1)) / rad
	mass := 1 / (h.Up + 0.50572*math.Pow(height+6.07995, -1.6364))
	return 1.1 * h.above / h.Up * math.Pow(0.7, math.Pow(mass, 0.678))
}

// clearIndex is the clearness of a cloudless hour against which clouds are read.
const clearIndex = 0.75

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
