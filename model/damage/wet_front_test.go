package damage

import (
	"math"
	"testing"
)

// Two years by hand: 1 kg/m² at the start, 1.2 after the first year, 1.5 after
// the second, a peak of 2.4 between; ten wet hours in each, at most six in a row.
func TestAccumulationByHand(t *testing.T) {
	a := Accumulation{Dry: 0.4, WetRH: 0.99}
	for y := range 2 {
		for h := range HoursPerYear {
			stored, rh := 1.0, 0.5
			switch {
			case h == 4000:
				stored = 2 + 0.4*float64(y)
			case h == HoursPerYear-1:
				stored = 1.2 + 0.3*float64(y)
			}
			if h >= 48 && h < 54 || h >= 60 && h < 64 {
				rh = 1
			}
			a.Hour(h, stored, rh)
		}
	}
	check := func(what string, f Finding, demand, utilisation float64, hour int) {
		t.Helper()
		if !near(f.Demand, demand, 1e-12) || !near(f.Utilisation, utilisation, 1e-12) || f.Hour != hour {
			t.Errorf("%s: %+v", what, f)
		}
	}
	check("peak", a.Peak(1), 2.0, 2, 4000)
	check("rise", a.Rise(0.5), 0.3, 0.6, -1)
	check("wet hours", a.WetHours(100), 10, 0.1, 53)
	check("daily humidity", a.DailyRH(0.95), (10+14*0.5)/24, (10+14*0.5)/24/0.95, 71)
	if a.LongestSpell() != 6 {
		t.Errorf("longest spell %v", a.LongestSpell())
	}
}

func TestAccumulationWithoutAYearOrADay(t *testing.T) {
	a := Accumulation{WetRH: 0.99}
	for h := range 23 {
		a.Hour(h, 0.1, 0.5)
	}
	if a.Rise(1).Utilisation != MaxUtilisation || a.DailyRH(0.9).Utilisation != MaxUtilisation {
		t.Errorf("%+v, %+v", a.Rise(1), a.DailyRH(0.9))
	}
	if f := a.WetHours(10); f.Utilisation != 0 || f.Hour != -1 {
		t.Errorf("%+v", f)
	}
}

// 0.1 by air leaks and 1 % of 90 l/m²a make 1.0; of a pulse of 3, 1 is left: 1 of
// 2 kg/m²a. (DIN 68800-2 and ASHRAE 160, from memory.)
func TestDryingReserveByHand(t *testing.T) {
	need := Wetting(AirLeakWetting, 0.01, 90)
	if !near(need, 1, 1e-12) {
		t.Errorf("wetting %v", need)
	}
	for _, c := range []struct{ pulse, remaining, wetting, reserve, utilisation float64 }{
		{3, 1, 1, 2, 0.5}, {3, 0, 1, 3, 1.0 / 3}, {3, -0.5, 1, 3, 1.0 / 3}, {3, 3, 1, 0, 99}, {3, 4, 1, -1, 99}, {3, 4, 0, -1, 99},
		{0.5, 0, 1, 0.5, 99}, {3, 1, -1, 2, 99}, {0, 0, 1, math.NaN(), 99}, {math.NaN(), 0, 1, math.NaN(), 99}, {3, math.NaN(), 1, math.NaN(), 99},
		{3, 1, math.NaN(), 2, 99}, {3, math.Inf(-1), 1, math.NaN(), 99},
	} {
		d := Drying{Pulse: c.pulse, Remaining: c.remaining}
		if r := d.Reserve(); r != c.reserve && !(math.IsNaN(r) && math.IsNaN(c.reserve)) {
			t.Errorf("%+v: reserve %v", c, r)
		}
		if u := d.Finding(c.wetting).Utilisation; !near(u, c.utilisation, 1e-12) {
			t.Errorf("%+v: utilisation %v", c, u)
		}
	}
	if !math.IsNaN(Wetting(-1, 0, 0)) || !math.IsNaN(Wetting(0, math.NaN(), 0)) {
		t.Error("an impossible wetting passes")
	}
}

// Cells of 100 mm in 400 mm, threshold 0.8. From 0.9 at 150 mm to 0.5 at 250 mm
// the line crosses at 150 + 100·0.1/0.4 = 175 mm.
func TestRainFrontByHand(t *testing.T) {
	depths := []float64{0.05, 0.15, 0.25, 0.35, 0.45}
	for _, c := range []struct {
		name  string
		fills []float64
		depth float64
		hour  int
	}{
		{"dry", []float64{0.7, 0.3, 0.2, 0.2, 0.2}, 0, -1},
		{"at the face", []float64{1, 0.6, 0.2, 0.2, 0.2}, 0.10, 0},
		{"between cells", []float64{1, 0.9, 0.5, 0.2, 0.2}, 0.175, 0},
		{"the face has dried", []float64{0.4, 0.9, 0.5, 0.2, 0.2}, 0.175, 0},
		{"through", []float64{1, 1, 1, 0.8, 0.2}, 0.4, 0},
		{"only beyond the masonry", []float64{0.1, 0.1, 0.1, 0.1, 1}, 0, -1},
	} {
		r := RainFront{Thickness: 0.4, Threshold: 0.8}
		r.Hour(0, depths, c.fills)
		r.Hour(1, depths, []float64{0, 0, 0, 0, 0})
		f := r.Finding(0.67)
		if !near(f.Demand, c.depth, 1e-12) || !near(f.Utilisation, c.depth/0.268, 1e-12) || f.Hour != c.hour {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
	for name, bad := range map[string][2][]float64{
		"no cells": {nil, nil}, "lengths differ": {depths, depths[:2]}, "not rising": {{0.1, 0.1}, {0, 0}},
		"negative": {{0.1, 0.2}, {0, -1}}, "not a number": {{0.1, math.NaN()}, {0, 0}}, "none in the masonry": {{0.5, 0.6}, {0, 0}},
	} {
		r := RainFront{Thickness: 0.4, Threshold: 0.8}
		r.Hour(7, bad[0], bad[1])
		if f := r.Finding(0.67); f.Utilisation != MaxUtilisation || f.Hour != 7 {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

// A sharp front of √t uptake, A_w 0.05 over 9 h into w_f 150: 0.05·√32400/150 =
// 60 mm. Cells of 5 mm find it within one cell.
func TestRainFrontFindsASharpFront(t *testing.T) {
	depths, fills := make([]float64, 80), make([]float64, 80)
	r := RainFront{Thickness: 0.4, Threshold: 0.9}
	for h := range 9 {
		front := 0.05 * math.Sqrt(3600*float64(h+1)) / 150
		for i := range depths {
			depths[i] = 0.005 * (float64(i) + 0.5)
			fills[i] = min(max((front-0.005*float64(i))/0.005, 0.1), 1)
		}
		r.Hour(h, depths, fills)
	}
	if f := r.Finding(0.67); !near(f.Demand, 0.06, 0.005) || f.Hour != 8 {
		t.Errorf("%+v", f)
	}
}
