package hourly

import "math"

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
	up      float64 // mean of the sine of its height, below the horizon as zero
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
				h.up += max(0, d.height(sinLat, cosLat, t)) / subSteps
			}
			h.middle = d.height(sinLat, cosLat, float64(hour)+0.5)
			h.above = d.above * h.up
			h.profile = dayProfile((float64(hour)+0.5+d.shift-12)*15*rad, sunset)
		}
	}
	return out
}

// Heights returns the mean sine of the sun's height in each hour, with the sun below
// the horizon counted as zero.
func (s Sun) Heights() []float64 {
	out := make([]float64, len(s))
	for k, h := range s {
		out[k] = h.up
	}
	return out
}

// dayProfile is the ratio of an hour's clearness to the day's, for the hour
// angle and that of sunset. Source: Collares-Pereira & Rabl 1979, from memory.
func dayProfile(angle, sunset float64) float64 {
	s := math.Sin(sunset - math.Pi/3)
	return max(0.1, 0.409+0.5016*s+(0.6609-0.4767*s)*math.Cos(angle))
}
