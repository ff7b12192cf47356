package damage

import (
	"testing"

	"pgregory.net/rapid"
)

// Hours that an engine has averaged come together: fed at once they do what they do
// fed one by one. Tolerance: rounding.
func TestHoursTogetherAreHoursOneByOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := newFeeder(), newFeeder()
		hour := 0
		for range rapid.IntRange(1, 80).Draw(t, "entries") {
			n := rapid.IntRange(1, 24).Draw(t, "hours")
			theta := rapid.Float64Range(-10, 30).Draw(t, "theta")
			rh := rapid.Float64Range(0.6, 1).Draw(t, "rh")
			a.take(hour, n, theta, rh)
			for k := range n {
				b.take(hour+k, 1, theta, rh)
			}
			hour += n
		}
		if x, y := a.m.Peak(), b.m.Peak(); !near(x.Value, y.Value, 1e-9) || !near(a.m.Index(), b.m.Index(), 1e-9) {
			t.Errorf("mould %+v at once, %+v one by one", x, y)
		}
		if x, y := a.d.Activation(), b.d.Activation(); !near(x.Value, y.Value, 1e-9) || !near(a.d.MassLoss(), b.d.MassLoss(), 1e-9) {
			t.Errorf("rot %+v and %v at once, %+v and %v one by one", x, a.d.MassLoss(), y, b.d.MassLoss())
		}
		if x, y := a.u.Peak(), b.u.Peak(); !near(x.Value, y.Value, 1e-9) {
			t.Errorf("timber moisture %+v at once, %+v one by one", x, y)
		}
		if x, y := a.dry.Reserve(), b.dry.Reserve(); !near(x.Value, y.Value, 1e-9) {
			t.Errorf("drying reserve %+v at once, %+v one by one", x, y)
		}
		if hour < 24 {
			return
		}
		if x, y := timberLine.Worst(a.h.Days()), timberLine.Worst(b.h.Days()); !near(x.RH, y.RH, 1e-9) || !near(x.Theta, y.Theta, 1e-9) || x.Hour != y.Hour {
			t.Errorf("timber humidity %+v at once, %+v one by one", x, y)
		}
		if x, y := a.f.Year(), b.f.Year(); x != y {
			t.Errorf("frost %+v at once, %+v one by one", x, y)
		}
	})
}
