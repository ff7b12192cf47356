package transient

import (
	"fmt"
	"math"
)

// Weather is a run of hourly values, all slices of one length (a year as a
// rule). Entry k is the mean of hour k and is placed at its middle; rain is
// spread evenly over its hour. A nil optional slice means zero, except SkyTheta:
// nil means no long-wave exchange beyond the combined coefficient.
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

func (w *Weather) check() error {
	n := len(w.Theta)
	if n == 0 {
		return fmt.Errorf("transient: weather without hours")
	}
	for _, c := range []struct {
		name     string
		v        []float64
		lo, hi   float64
		optional bool
	}{
		{"temperature °C", w.Theta, -80, 70, false}, {"relative humidity", w.RH, 0, 1.001, false},
		{"wind m/s", w.Wind, 0, 150, true}, {"wind direction", w.WindFrom, -360, 720, true},
		{"rain mm/h", w.Rain, 0, 500, true}, {"direct radiation W/m²", w.DirectNormal, 0, 1500, true},
		{"diffuse radiation W/m²", w.Diffuse, 0, 1500, true}, {"global radiation W/m²", w.Global, 0, 1500, true},
		{"sky temperature °C", w.SkyTheta, -120, 70, true},
	} {
		if c.v == nil && c.optional {
			continue
		}
		if len(c.v) != n {
			return fmt.Errorf("transient: weather: %s has %d hours, temperature has %d", c.name, len(c.v), n)
		}
		for k, x := range c.v {
			if !(x >= c.lo && x <= c.hi) {
				return fmt.Errorf("transient: weather: %s in hour %d is %g, expected %g…%g", c.name, k, x, c.lo, c.hi)
			}
		}
	}
	return nil
}

// at returns v[k], or zero for a missing slice.
func at(v []float64, k int) float64 {
	if v == nil {
		return 0
	}
	return v[k]
}

// Face is the orientation and the surface of the outer face.
type Face struct {
	Azimuth         float64 // direction it looks to, degrees from north, clockwise
	Absorptivity    float64 // short-wave, 0–1
	Emissivity      float64 // long-wave, 0–1
	GroundAlbedo    float64 // 0–1 (0.2 is usual)
	Latitude        float64 // degrees north
	Longitude       float64 // degrees east
	TimeZone        float64 // hours ahead of UTC of the weather's clock
	FirstDay        int     // day of the year of hour 0, 1 for 1 January; 0 means 1
	RainCoefficient float64 // C_R·C_T·O·W of ISO 15927-3 in front of (2/9)·v·r^(8/9)·cos
	Wind            float64 // share of the weather's wind that reaches the face, 0–1: for h and β, not for rain
	Sun             float64 // share of the direct sun that reaches the face, 0–1
	// FilmCoefficient is h_e in W/(m²K); 0 means 4 + 4·v (ISO 6946 annex,
	// EN 15026).
	FilmCoefficient float64
}

// DrivingRain returns the rain on the face in kg/(m²·s) for horizontal rain in
// mm/h and wind in m/s from the given direction (ISO 15927-3, hourly index).
func (f *Face) DrivingRain(rain, wind, from float64) float64 {
	c := math.Cos((from - f.Azimuth) * math.Pi / 180)
	if c <= 0 || rain <= 0 {
		return 0
	}
	return f.RainCoefficient * 2.0 / 9 * wind * math.Pow(rain, 8.0/9) * c / hourSeconds
}
