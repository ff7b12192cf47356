package transient

import (
	"math"

	"wallsift/model/air"
)

const (
	hourSeconds = 3600.0
	stefan      = 5.670374e-8 // W/(m²·K⁴)
	// lewis is β/h_c (Künzel 1995), kg/(m²·s·Pa) per W/(m²K).
	lewis = 7e-9
)

// Weather is a run of hourly values, all slices of one length (a year as a
// rule). Entry k is the mean of hour k and is placed at its middle; rain is
// spread evenly over its hour. A nil optional slice means zero, except SkyTheta:
// nil means no long-wave exchange beyond the combined coefficient. Who reads or makes
// weather bounds it; a value that is no number ends a run as not converged.
type Weather struct {
	Theta        []float64 // air temperature, °C
	RH           []float64 // relative humidity, 0–1
	Wind         []float64 // m/s (optional)
	WindFrom     []float64 // degrees from north, clockwise (optional)
	Rain         []float64 // on the horizontal, mm/h (optional)
	DirectNormal []float64 // direct normal radiation, W/m² (optional)
	Diffuse      []float64 // diffuse horizontal radiation, W/m² (optional)
	Global       []float64 // global horizontal radiation, W/m² (optional)
	SkyTheta     []float64 // effective sky temperature, °C (optional)
}

// Face is the surface of the outer face.
type Face struct {
	Absorptivity    float64 // short-wave, 0–1
	Emissivity      float64 // long-wave, 0–1
	GroundAlbedo    float64 // 0–1 (0.2 is usual)
	RainCoefficient float64 // C_R·C_T·O·W of ISO 15927-3 in front of (2/9)·v·r^(8/9)·cos
	Wind            float64 // share of the weather's wind that reaches the face, 0–1: for h and β, not for rain
	Sun             float64 // share of the direct sun that reaches the face, 0–1
	// RainLimit is the most driving rain that a film on the face lets pass, kg/(m²·h), and
	// Aw the absorption coefficient of the face, kg/(m²·√s): rain beyond the one, and
	// beyond what a dry face can draw in a spell of rain, runs off. 0 sets no bound.
	RainLimit, Aw float64
}

// vector is a horizontal direction or flow, towards east and north.
type vector struct{ east, north float64 }

func bearing(azimuth float64) vector {
	s, c := math.Sincos(azimuth * math.Pi / 180)
	return vector{s, c}
}

// onto returns the part of v that strikes a vertical face looking to b.
func (v vector) onto(b vector) float64 { return max(0, v.east*b.east+v.north*b.north) }

// drivingRain is the flow of rain in kg/(m²·s) through a vertical plane in an
// open field, for r mm/h on the horizontal (ISO 15927-3, hourly index).
func drivingRain(r, wind, from float64) vector {
	if r <= 0 || wind <= 0 {
		return vector{}
	}
	b, i := bearing(from), 2.0/9*wind*math.Pow(r, 8.0/9)/hourSeconds
	return vector{i * b.east, i * b.north}
}

// sun is the course of the sun on one day: declination and equation of time
// after Spencer 1971.
type sun struct {
	sinLat, cosLat   float64
	sinDecl, cosDecl float64
	late             float64 // hours that solar time is ahead of the clock
}

func sunOf(day int, latitude, longitude, timeZone float64) (s sun) {
	g := 2 * math.Pi * float64(day) / 365
	decl := 0.006918 - 0.399912*math.Cos(g) + 0.070257*math.Sin(g) - 0.006758*math.Cos(2*g) +
		0.000907*math.Sin(2*g) - 0.002697*math.Cos(3*g) + 0.00148*math.Sin(3*g)
	eot := 229.18 * (0.000075 + 0.001868*math.Cos(g) - 0.032077*math.Sin(g) -
		0.014615*math.Cos(2*g) - 0.040849*math.Sin(2*g)) // minutes
	s.sinLat, s.cosLat = math.Sincos(latitude * math.Pi / 180)
	s.sinDecl, s.cosDecl = math.Sincos(decl)
	s.late = eot/60 + longitude/15 - timeZone
	return s
}

// beam is the direct radiation direct (W/m², normal) through vertical planes at
// the clock hour of the day, nothing while the sun is down.
func (s *sun) beam(hour, direct float64) vector {
	if direct <= 0 {
		return vector{}
	}
	sinH, cosH := math.Sincos((hour + s.late - 12) * 15 * math.Pi / 180)
	if s.sinLat*s.sinDecl+s.cosLat*s.cosDecl*cosH <= 0 {
		return vector{}
	}
	return vector{-direct * s.cosDecl * sinH, direct * (s.cosLat*s.sinDecl - s.sinLat*s.cosDecl*cosH)}
}

// solar is the short-wave radiation on the face, W/m²: the share Sun of the direct beam
// that strikes it, half of the diffuse sky, half of the ground's reflection.
func (f *Face) solar(beam, diffuse, global float64) float64 {
	return 0.5*diffuse + 0.5*f.GroundAlbedo*global + f.Sun*beam
}

// Site is weather at a place, with all that does not depend on the face worked
// out once. It is immutable and may be shared.
type Site struct{ hours []siteHour }

type siteHour struct {
	theta, p, wind  float64 // °C, Pa, m/s
	diffuse, global float64 // W/m²
	sky             float64 // long-wave balance of a black face at air temperature, W/m²
	beam            vector  // W/m²
	rain            vector  // kg/(m²·s)
}

// NewSite prepares weather at a place (degrees north and east, hours that the
// weather's clock is ahead of UTC). Precipitation below 0 °C is snow and does
// not wet a face (common practice, no source).
func NewSite(w *Weather, latitude, longitude, timeZone float64) *Site {
	at := func(v []float64, k int) float64 {
		if v == nil {
			return 0
		}
		return v[k]
	}
	s := &Site{make([]siteHour, len(w.Theta))}
	var day sun
	for k := range s.hours {
		if k%24 == 0 {
			day = sunOf(k/24, latitude, longitude, timeZone)
		}
		h := &s.hours[k]
		*h = siteHour{theta: w.Theta[k], p: math.Min(w.RH[k], 1) * air.Psat(w.Theta[k]), wind: at(w.Wind, k),
			diffuse: at(w.Diffuse, k), global: at(w.Global, k), beam: day.beam(float64(k%24)+0.5, at(w.DirectNormal, k))}
		if w.Theta[k] > 0 {
			h.rain = drivingRain(at(w.Rain, k), h.wind, at(w.WindFrom, k))
		}
		if w.SkyTheta != nil {
			// A wall sees the sky with half its view; the ground is taken at
			// air temperature, which the combined coefficient covers.
			ts, te := w.SkyTheta[k]+air.KelvinOffset, w.Theta[k]+air.KelvinOffset
			h.sky = 0.5 * stefan * (ts*ts*ts*ts - te*te*te*te)
		}
	}
	return s
}

// Toward returns what strikes a face in the open that looks to azimuth: the driving
// rain of all hours, kg/m², and the mean of the short-wave radiation, W/m².
func (s *Site) Toward(azimuth, albedo float64) (rain, sun float64) {
	f, look := Face{GroundAlbedo: albedo, Sun: 1}, bearing(azimuth)
	for k := range s.hours {
		h := &s.hours[k]
		rain += hourSeconds * h.rain.onto(look)
		sun += f.solar(h.beam.onto(look), h.diffuse, h.global) / float64(len(s.hours))
	}
	return rain, sun
}

// Indoor is the hourly indoor climate, slices as long as the weather's.
type Indoor struct {
	Theta []float64 // °C
	RH    []float64 // 0–1
}
