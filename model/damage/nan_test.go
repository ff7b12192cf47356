package damage

import (
	"math"
	"testing"
)

// all feeds every accumulator one series and returns every finding.
func all(hours int, at func(hour int) (theta, rh, water float64)) map[string]Finding {
	m := Mould{Class: VerySensitive, Decline: 1}
	h := TimberHumidity{RH0: 0.95, RH30: 0.86}
	u := TimberMoisture{Lag: TimberLag}
	var d TimberDecay
	f := FreezeThaw{Porosity: 0.2, Critical: 0.85, FreezeAt: -1}
	a := Accumulation{WetRH: 0.99}
	r := RainFront{Thickness: 0.4, Threshold: 0.9}
	depths, fills := [2]float64{0.1, 0.3}, [2]float64{}
	for i := range hours {
		theta, rh, water := at(i)
		m.Hour(i, theta, rh)
		h.Hour(i, theta, rh)
		u.Hour(i, theta, rh)
		d.Hour(i, theta, rh)
		f.Hour(i, theta, water)
		a.Hour(i, water, rh)
		fills[0], fills[1] = water/200, water/400
		r.Hour(i, depths[:], fills[:])
	}
	return map[string]Finding{
		"mould": m.Finding(3), "timber humidity": h.Finding(), "timber moisture": u.Finding(0.2), "decay": d.Finding(0.01), "activation": d.Activation(1),
		"frost": f.Year().Finding(5), "saturation": f.Year().SaturationFinding(0.85), "change": Change(f.Year(), f.Year()).Finding(5),
		"peak": a.Peak(1), "wet hours": a.WetHours(10), "daily": a.DailyRH(0.95), "front": r.Finding(0.67),
	}
}

// What each finding is made of: a bad temperature must not touch those that do
// not use it, and must spoil those that do.
var uses = map[string]struct{ theta, rh, water bool }{
	"mould": {true, true, false}, "timber humidity": {true, true, false}, "timber moisture": {true, true, false}, "decay": {true, true, false},
	"activation": {true, true, false}, "frost": {true, false, true}, "saturation": {true, false, true}, "change": {true, false, true},
	"peak": {false, true, true}, "wet hours": {false, true, true}, "daily": {false, true, true}, "front": {false, false, true},
}

func FuzzNoBadNumberLooksGood(f *testing.F) {
	for _, x := range []float64{0, 1, -1, 0.95, -300, 1e300, -1e300, 5e-324, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64} {
		f.Add(x, 0.9, 100.0, uint8(3))
		f.Add(10.0, x, 100.0, uint8(0))
		f.Add(10.0, 0.9, x, uint8(47))
	}
	f.Fuzz(func(t *testing.T, theta, rh, water float64, when uint8) {
		const hours = 48
		found := all(hours, func(h int) (float64, float64, float64) {
			if h == int(when)%hours {
				return theta, rh, water
			}
			return 5, 0.5, 20
		})
		for what, g := range found {
			u := uses[what]
			bad := u.theta && !celsius(theta) || u.rh && !amount(rh) || u.water && !amount(water)
			if !(g.Utilisation >= 0 && g.Utilisation <= MaxUtilisation) {
				t.Errorf("%s: %+v", what, g)
			}
			if bad && (g.Utilisation != MaxUtilisation || !math.IsNaN(g.Demand) || g.Hour != int(when)%hours) {
				t.Errorf("%s of (%v, %v, %v): %+v", what, theta, rh, water, g)
			}
			if !bad && math.IsNaN(g.Utilisation) {
				t.Errorf("%s: %+v", what, g)
			}
		}
	})
}

func TestNothingFedIsNotGood(t *testing.T) {
	for what, f := range all(0, nil) {
		if f.Utilisation != MaxUtilisation || f.Hour != -1 || !math.IsNaN(f.Demand) {
			t.Errorf("%s: %+v", what, f)
		}
	}
}

func TestUnusableParametersAreNotGood(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	worst := func(what string, f Finding) {
		t.Helper()
		if f.Utilisation != MaxUtilisation {
			t.Errorf("%s: %+v", what, f)
		}
	}
	for i, c := range []MouldClass{{}, {K1Below: nan, K1Above: 1, A: 1, RHMin: 0.8}, {K1Below: 1, K1Above: 1, A: nan, RHMin: 0.8},
		{K1Below: 1, K1Above: 1, A: 1, RHMin: 80}, {K1Below: 1, K1Above: 1, A: 1, RHMin: nan}, {K1Below: 1, K1Above: 1, A: 1, RHMin: 0.8, W: nan}} {
		m := Mould{Class: c, Decline: 1}
		m.Hour(0, 20, 0.5)
		worst("mould class "+string(rune('0'+i)), m.Finding(3))
	}
	for _, x := range []float64{nan, inf, -1} {
		m := Mould{Class: VerySensitive, Decline: x}
		h, h30 := TimberHumidity{RH0: x, RH30: 0.86}, TimberHumidity{RH0: 0.95, RH30: x}
		u := TimberMoisture{Lag: x}
		f := FreezeThaw{Porosity: x, Critical: 0.85, FreezeAt: -1}
		g := FreezeThaw{Porosity: 0.2, Critical: x, FreezeAt: -1}
		k := FreezeThaw{Porosity: 0.2, Critical: 0.85, FreezeAt: -1, ThawAt: x - 1} // -2 lies below FreezeAt
		r := RainFront{Thickness: 0.4, Threshold: x}
		s := RainFront{Thickness: x, Threshold: 0.9}
		for i := range 24 {
			m.Hour(i, 20, 0.5)
			h.Hour(i, 20, 0.5)
			h30.Hour(i, 20, 0.5)
			u.Hour(i, 20, 0.5)
			f.Hour(i, 20, 10)
			g.Hour(i, 20, 10)
			k.Hour(i, 20, 10)
			r.Hour(i, []float64{0.1}, []float64{0.1})
			s.Hour(i, []float64{0.1}, []float64{0.1})
		}
		worst("decline", m.Finding(3))
		worst("limit at 0 °C", h.Finding())
		worst("limit at 30 °C", h30.Finding())
		worst("lag", u.Finding(0.2))
		worst("porosity", f.Year().Finding(5))
		worst("critical saturation", g.Year().Finding(5))
		worst("thaw", k.Year().Finding(5))
		worst("threshold", r.Finding(0.67))
		worst("thickness", s.Finding(0.67))
	}
	a := Accumulation{Dry: nan, WetRH: nan}
	a.Hour(0, 1, 0.5)
	worst("dry reference", a.Peak(1))
	worst("wet from", a.WetHours(1))
	if !math.IsNaN(a.LongestSpell()) {
		t.Error("a spell without a threshold")
	}
}

func TestFindIsDemandByLimitAndCapped(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range [][3]float64{
		{1, 2, 0.5}, {2, 1, 2}, {0, 1, 0}, {-3, 1, 0}, {0, 0, 0}, {1, 0, 99}, {1, -1, 99}, {0, -1, 99}, {1e9, 1, 99}, {98, 1, 98},
		{inf, 1, 99}, {-inf, 1, 99}, {1, inf, 0}, {inf, inf, 99}, {nan, 1, 99}, {1, nan, 99}, {0, nan, 99}, {nan, inf, 99},
	} {
		if got := find(c[0], c[1], -1).Utilisation; got != c[2] {
			t.Errorf("%v of %v: %v, expected %v", c[0], c[1], got, c[2])
		}
	}
}
