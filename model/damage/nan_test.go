package damage

import (
	"math"
	"testing"
)

var timberLine = TimberLine{RH0: 0.95, RH30: 0.86}

// all feeds every accumulator one series and returns what each came to.
func all(hours int, at func(hour int) (theta, rh, filling float64)) map[string]Peak {
	m := Mould{Class: verySensitive, Decline: 1}
	h := TimberHumidity{}
	u := TimberMoisture{}
	var d TimberDecay
	f := FreezeThaw{Critical: 0.85}
	var a Highest
	var reserve DryingReserve
	r := RainFront{Filling: 0.9}
	for i := range hours {
		theta, rh, filling := at(i)
		m.Hours(i, 1, theta, rh)
		h.Hours(i, 1, theta, rh)
		u.Hours(i, 1, theta, rh)
		d.Hours(i, 1, theta, rh)
		f.Hours(i, 1, theta, filling)
		a.Hour(i, filling)
		reserve.Hours(i, 1, theta, rh, 1, 1)
		r.Hours(i, 1, true, []Place{{Depth: 0.1, Filling: filling, RH: 1, Rain: true}, {Depth: 0.3, Filling: 0.1, RH: 0.9}})
	}
	y, w := f.Year(), timberLine.Worst(h.Days())
	return map[string]Peak{
		"mould": m.Peak(), "timber humidity": {w.RH, w.Hour}, "timber moisture": u.Peak(), "activation": d.Activation(),
		"frost": {y.Cycles, int(y.Fullest[0].Hour)}, "highest": a.Peak(), "reserve": reserve.Reserve(), "front": r.Peak(),
	}
}

// What each is made of: a bad temperature must not touch those that do not use
// it, and must spoil those that do.
var uses = map[string]struct{ theta, rh, filling bool }{
	"mould": {true, true, false}, "timber humidity": {true, true, false}, "timber moisture": {true, true, false}, "activation": {true, true, false},
	"frost": {true, false, true}, "highest": {false, false, true}, "reserve": {true, true, false}, "front": {false, false, true},
}

func FuzzNoBadNumberLooksGood(f *testing.F) {
	for _, x := range []float64{0, 1, -1, 0.95, -300, 1e300, -1e300, 5e-324, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64} {
		f.Add(x, 0.9, 0.5, uint8(3))
		f.Add(10.0, x, 0.5, uint8(0))
		f.Add(10.0, 0.9, x, uint8(47))
	}
	f.Fuzz(func(t *testing.T, theta, rh, filling float64, when uint8) {
		const hours = 48
		found := all(hours, func(h int) (float64, float64, float64) {
			if h == int(when)%hours {
				return theta, rh, filling
			}
			return 5, 0.5, 0.1
		})
		for what, p := range found {
			u := uses[what]
			bad := u.theta && !celsius(theta) || u.rh && !amount(rh) || u.filling && !amount(filling)
			if bad && (!math.IsNaN(p.Value) || p.Hour != int(when)%hours) {
				t.Errorf("%s of (%v, %v, %v): %+v", what, theta, rh, filling, p)
			}
			if !bad && math.IsNaN(p.Value) {
				t.Errorf("%s of (%v, %v, %v): %+v", what, theta, rh, filling, p)
			}
		}
	})
}

func TestNothingFedIsNotGood(t *testing.T) {
	for what, p := range all(0, nil) {
		if !math.IsNaN(p.Value) || p.Hour != -1 {
			t.Errorf("%s: %+v", what, p)
		}
	}
}

func TestUnusableParametersAreNotGood(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	unknown := func(what string, value float64) {
		t.Helper()
		if !math.IsNaN(value) {
			t.Errorf("%s: %v", what, value)
		}
	}
	for i, c := range []MouldClass{{}, {K1Below: nan, K1Above: 1, A: 1, RHMin: 0.8}, {K1Below: 1, K1Above: 1, A: nan, RHMin: 0.8},
		{K1Below: 1, K1Above: 1, A: 1, RHMin: 80}, {K1Below: 1, K1Above: 1, A: 1, RHMin: nan}, {K1Below: 1, K1Above: 1, A: nan, RHMin: 0.8}} {
		m := Mould{Class: c, Decline: 1}
		m.Hours(0, 1, 20, 0.5)
		unknown("mould class "+string(rune('0'+i)), m.Peak().Value)
	}
	for _, x := range []float64{nan, inf, -1} {
		m := Mould{Class: verySensitive, Decline: x}
		var h TimberHumidity
		f := FreezeThaw{Critical: x}
		r := RainFront{Filling: x}
		for i := range 24 {
			m.Hours(i, 1, 20, 0.5)
			h.Hours(i, 1, 20, 0.5)
			f.Hours(i, 1, 20, 0.1)
			r.Hours(i, 1, true, []Place{{Depth: 0.1}})
		}
		unknown("decline", m.Peak().Value)
		unknown("limit at 0 °C", TimberLine{x, 0.86}.Worst(h.Days()).RH)
		unknown("limit at 30 °C", TimberLine{0.95, x}.Worst(h.Days()).RH)
		unknown("critical filling", f.Year().Cycles)
		unknown("filling", r.Peak().Value)
	}
	var d DryingReserve
	d.Hours(0, 1, 10, 0.5, 0, 1)
	unknown("no resistance to dry through", d.Reserve().Value)
}
