package transient

import (
	"math"
	"sync"
	"testing"
)

// Reuse: a wall cut in two layers of one material must
// run as one layer does; a reset solver must repeat itself to the last bit.
func TestCutLayerAndReuse(t *testing.T) {
	d := fakeDrive(t, 8760)
	b := compiled(t, brick)
	one := Wall{Layers: []Layer{{Thickness: 0.3, Material: b}}}
	two := Wall{Layers: []Layer{{Thickness: 0.15, Material: b}, {Thickness: 0.15, Material: b}}}
	type sample struct{ theta, rh, fill float64 }
	run := func(s *Solver) ([]sample, Result) {
		s.SetUniform(10, 0.8)
		var seen []sample
		r := s.Run(d, 4000, func(v *Solver) {
			if v.Hour%24 == 0 {
				for _, x := range []float64{0.005, 0.1, 0.25} {
					p := v.Spot(x)
					theta, rh := v.Climate(p)
					_, fill := v.Filling(p)
					seen = append(seen, sample{theta, rh, fill})
				}
			}
		})
		if r.Err != nil {
			t.Fatal(r.Err)
		}
		return seen, r
	}
	s, err := NewSolver(one, Options{Cells: 60})
	if err != nil {
		t.Fatal(err)
	}
	a, ra := run(s)
	if err := s.Reset(two, Options{Cells: 60}); err != nil {
		t.Fatal(err)
	}
	c, rc := run(s)
	var dT, dRH, dW float64
	for k := range a {
		dT = math.Max(dT, math.Abs(a[k].theta-c[k].theta))
		dRH = math.Max(dRH, math.Abs(a[k].rh-c[k].rh))
		dW = math.Max(dW, math.Abs(a[k].fill-c[k].fill))
	}
	t.Logf("one layer or two of the same: %.3f K, RH %.4f, w/w_f %.4f, water taken %.4f and %.4f kg/m²", dT, dRH, dW, ra.StoredWater, rc.StoredWater)
	if dT > 0.2 || dRH > 0.02 || dW > 0.02 {
		t.Errorf("cutting a layer in two moves it by %.3g K, RH %.3g, w/w_f %.3g", dT, dRH, dW)
	}
	if err := s.Reset(one, Options{Cells: 60}); err != nil {
		t.Fatal(err)
	}
	again, _ := run(s)
	for k := range a {
		if a[k] != again[k] {
			t.Fatalf("a reused solver differs: %+v, %+v", a[k], again[k])
		}
	}
}

// Compiled materials and drives may be shared: the same bits from any goroutine.
func TestSharedBetweenGoroutines(t *testing.T) {
	d, w := fakeDrive(t, 8760), retrofitWall(t)
	var res [4]Result
	var wg sync.WaitGroup
	for k := range res {
		wg.Add(1)
		go func() {
			defer wg.Done()
			s, err := NewSolver(w, Options{})
			if err != nil {
				t.Error(err)
				return
			}
			res[k] = s.Run(d, 1000, nil)
		}()
	}
	wg.Wait()
	for k := range res {
		if res[k] != res[0] {
			t.Errorf("goroutine %d: %+v, goroutine 0: %+v", k, res[k], res[0])
		}
	}
}

// Bad input is refused with the reason.
func TestBadInput(t *testing.T) {
	b := compiled(t, brick)
	for name, w := range map[string]Wall{
		"no layers": {}, "no material": {Layers: []Layer{{Thickness: 1}}},
		"thickness": {Layers: []Layer{{Material: b}}},
		"curve":     {Layers: []Layer{{Thickness: 1, Material: b, Contact: Interface{Curve: []SdPoint{{0.6, 1}, {0.5, 1}}}}}},
		"share":     {Layers: []Layer{{Thickness: 1, Material: b}}, RainShare: 2},
		"depth":     {Layers: []Layer{{Thickness: 1, Material: b}}, RainShare: 0.01, RainDepth: 2},
	} {
		if _, err := NewSolver(w, Options{}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, err := NewParametric(90, 100); err == nil {
		t.Error("w80 above 0.8·w_f accepted")
	}
	if _, err := Compile(Material{Name: "empty"}); err == nil {
		t.Error("empty material compiled")
	}
}
