package hourly

import (
	"math"
	"testing"

	"wallsift/model/transient"
)

// Day lengths, noon heights and a day's radiation above the air against known
// values: 12 h and 90° − φ at an equinox (20 March, day 78), the solstices ±23.44°
// from it; 33.8 MJ/m² on 15 April at 43° N (Duffie & Beckman, example 1.10.1,
// from memory, with a solar constant of 1367).
func TestSunGeometry(t *testing.T) {
	near := func(what string, got, want, allowed float64) {
		t.Helper()
		if math.Abs(got-want) > allowed {
			t.Errorf("%s: %.3f, expected %.3f ± %v", what, got, want, allowed)
		}
	}
	for _, lat := range []float64{-60, -35, 0, 35, 51.5, 60} {
		sun := NewSun(lat, 0, 0)
		height := func(day int) (top, length float64) {
			d := newSunDay(float64(day)+0.5, 0)
			s, c := math.Sin(lat*rad), math.Cos(lat*rad)
			for i := range 24 * 60 {
				x := d.height(s, c, (float64(i)+0.5)/60)
				if top = max(top, x); x > 0 {
					length += 1.0 / 60
				}
			}
			return math.Asin(top) / rad, length
		}
		top, length := height(78)
		near("equinox, noon", top, 90-math.Abs(lat), 0.6)
		near("equinox, day", length, 12, 0.12)
		top, _ = height(171)
		near("June, noon", top, min(90-(lat-23.44), 90+(lat-23.44)), 0.1)
		top, _ = height(354)
		near("December, noon", top, min(90-(lat+23.44), 90+(lat+23.44)), 0.1)
		up := 0.0
		for _, h := range sun[24*171 : 24*172] {
			up += h.Up
		}
		if lat == 0 {
			// Mean of cos δ·cos ω over the lit half: 24/π·cos 23.44°.
			near("June, equator", up, 24/math.Pi*math.Cos(23.44*rad), 0.02)
		}
	}
	day := 0.0
	for _, h := range NewSun(43, 0, 0)[24*104 : 24*105] {
		day += h.above * 3600 / 1e6
	}
	near("15 April at 43° N, MJ/m²", day, 33.8*1361/1367, 0.15)
	// Equation of time, almanac values from memory: −14.2 min on 11 February,
	// +16.4 min on 3 November.
	near("February", newSunDay(41.5, 0).shift*60, -14.2, 0.4)
	near("November", newSunDay(306.5, 0).shift*60, 16.4, 0.4)
	// Polar night and midnight sun at 70°.
	for _, h := range NewSun(70, 0, 0)[24*354 : 24*355] {
		near("polar night", h.Up, 0, 0)
	}
	for _, h := range NewSun(70, 0, 0)[24*171 : 24*172] {
		if h.middle <= 0 {
			t.Errorf("midnight sun sets: %v", h.middle)
		}
	}
}

// The hourly engine must see the sun where this package put it, with longitude
// 0 and time zone 0: the beam on walls facing east, west, north and south gives
// its height back.
func TestSunAgreesWithEngine(t *testing.T) {
	still, direct := make([]float64, HoursPerYear), make([]float64, HoursPerYear)
	for _, lat := range []float64{-45, 10, 52, 70} {
		sun := NewSun(lat, 0, 0)
		for k := 7; k < HoursPerYear; k += 11 {
			if sun[k].middle < 0.02 {
				continue
			}
			n, side := k+1, 0.0
			direct[k] = 1
			site := transient.NewSite(&transient.Weather{Theta: still[:n], RH: still[:n], DirectNormal: direct[:n]}, lat, 0, 0)
			direct[k] = 0
			for _, azimuth := range []float64{0, 90, 180, 270} {
				_, v := site.Toward(azimuth, 0)
				side += v * v * float64(n*n)
			}
			if got := math.Sqrt(max(0, 1-side)); math.Abs(got-sun[k].middle) > 0.01 {
				t.Fatalf("latitude %v, hour %d: sine of height %.4f, engine %.4f", lat, k, sun[k].middle, got)
			}
		}
	}
}

// The pieces of the correlation meet; an overcast hour is all but diffuse, a
// clear one a sixth.
func TestDiffuseShare(t *testing.T) {
	for _, kt := range []float64{0.22, 0.80} {
		if d := diffuseShare(kt-1e-9) - diffuseShare(kt+1e-9); math.Abs(d) > 0.01 {
			t.Errorf("step of %.4f at %v", d, kt)
		}
	}
	if diffuseShare(0) != 1 || diffuseShare(0.9) != 0.165 {
		t.Error("ends of the correlation")
	}
}

func TestSplitKeepsGlobal(t *testing.T) {
	sun := NewSun(47, 0, 0)
	global := make([]float64, HoursPerYear)
	for k := range global {
		global[k] = 0.6 * sun[k].above
	}
	direct, diffuse := sun.Split(global)
	for k := range global {
		if d := direct[k]*sun[k].Up + diffuse[k] - global[k]; math.Abs(d) > 1e-9 {
			t.Fatalf("hour %d: %v W/m² lost", k, d)
		}
	}
}
