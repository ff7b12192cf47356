package transient

import (
	"math"
	"testing"
)

// HAMSTAD benchmark 2 (Hagentoft et al. 2004, values from memory) against the
// Fourier series of linear diffusion: a 200 mm layer at 95 % RH dries between
// faces held at 45 % and 65 % RH, 20 °C.
func TestIsothermalDryingMatchesSeries(t *testing.T) {
	m := compiled(t, hamstad2())
	const width, d = 0.2, hamstadD
	w0, wl, wr := m.Water(0.95), m.Water(0.45), m.Water(0.65)
	series := func(x, sec float64) float64 {
		v := wl + (wr-wl)*x/width
		for n := 1; n < 400; n++ {
			k := float64(n) * math.Pi / width
			sign := 1.0
			if n%2 == 1 {
				sign = -1
			}
			// Coefficients of w0 less the steady line.
			b := 2 / (float64(n) * math.Pi) * ((w0 - wl) - sign*(w0-wr))
			v += b * math.Sin(k*x) * math.Exp(-d*k*k*sec)
		}
		return v
	}
	for _, cells := range []int{40, 80} {
		s, err := NewSolver(Wall{Layers: []Layer{{Thickness: width, Material: m}}}, Options{Cells: cells})
		if err != nil {
			t.Fatal(err)
		}
		s.SetUniform(20, 0.95)
		e := Edge{Theta: 20, H: math.Inf(1)}
		drive := constantDrive(e, e).withContact(outer, Suction(0.45, 20)).withContact(inner, Suction(0.65, 20))
		done := 0
		for _, h := range []int{100, 300, 1000} {
			if r := s.Run(drive, h-done, nil); r.Err != nil {
				t.Fatal(r.Err)
			}
			done = h
			v, worst := s, 0.0
			for i := 0; i < v.Cells(); i++ {
				want := series(v.Depth(i), float64(h)*3600)
				worst = math.Max(worst, math.Abs(v.Water(i)-want)/(w0-wl))
			}
			t.Logf("%d cells, %4d h: largest difference %.3f %% of the range", v.Cells(), h, 100*worst)
			if worst > 0.01 {
				t.Errorf("%d cells, %d h: differs from the series by %.2f %% of the range, limit 1 %%", v.Cells(), h, 100*worst)
			}
		}
	}
}
