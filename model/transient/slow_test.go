//go:build slow

package transient

import (
	"math"
	"testing"
)

// A thick dense wall under foam dries for more than a century: the accelerated
// periodic state against 400 brute-force years.
func TestPeriodicCenturyWall(t *testing.T) {
	dense := porous("dense limestone", 2600, 850, 2.3, 2, 3, 40, 0.002, 150, 120)
	foam := porous("foam", 30, 1400, 0.03, 0, 0.5, 30, 0, 80, 80)
	w := Wall{Layers: []Layer{{Thickness: 0.6, Material: compiled(t, dense)}, {Thickness: 0.08, Material: compiled(t, foam)}}}
	d := fakeDriveRain(t, 8760, 0)
	fast, err := NewSolver(w, Options{Cells: 30})
	if err != nil {
		t.Fatal(err)
	}
	brute, _ := NewSolver(w, Options{Cells: 30})
	fast.SetUniform(10, 0.995)
	brute.SetUniform(10, 0.995)
	p := fast.RunPeriodic(d, PeriodicOptions{MaxYears: 40, Tolerance: 5e-4}, nil)
	if p.Err != nil {
		t.Fatal(p.Err)
	}
	first := -1
	for y := 1; y <= 400; y++ {
		if r := brute.Run(d, d.Hours(), nil); r.Err != nil {
			t.Fatal(r.Err)
		}
		if diff, _ := stateDistance(fast, brute); first < 0 && diff < 0.002 {
			first = y
		}
	}
	diff, water := stateDistance(fast, brute)
	t.Logf("accelerated %d years; brute force within 0.002 after %d; after 400 they differ by %.1e, %.4f kg/m²", p.Years, first, diff, water)
	if diff > 0.002 {
		t.Errorf("after 400 years brute force still differs by %.2g", diff)
	}
}

// Convergence of yearly results with the grid alone and with the steps alone.
func TestRefinementTable(t *testing.T) {
	w := retrofitWall(t)
	ref := yearOf(t, w, Options{Cells: 320, Fine: 0.000125, MaxStep: 900, Tolerance: 0.05})
	for _, o := range []Options{
		{Cells: 20, Fine: 0.002}, {Cells: 40}, {Cells: 80, Fine: 0.0005}, {Cells: 160, Fine: 0.00025},
		{Cells: 40, Fine: 0.0005}, {Cells: 40, Fine: 0.002}, {Cells: 80},
		{MaxStep: 1800, Tolerance: 0.25}, {MaxStep: 900, Tolerance: 0.05},
	} {
		y := yearOf(t, w, o)
		worst := 0.0
		for _, v := range [][2]float64{{y.heat, ref.heat}, {y.water, ref.water}, {y.rhMean, ref.rhMean}, {y.rhMax, ref.rhMax}, {y.wFront, ref.wFront}} {
			worst = math.Max(worst, math.Abs(v[0]/v[1]-1))
		}
		t.Logf("cells %3d fine %g max step %4g tolerance %-4g: heat %+.2f %%, water %+.2f %%, RH mean %+.3f %% peak %+.3f %%, water at 100 mm %+.2f %%", o.Cells, o.Fine, o.MaxStep, o.Tolerance,
			100*(y.heat/ref.heat-1), 100*(y.water/ref.water-1), 100*(y.rhMean/ref.rhMean-1), 100*(y.rhMax/ref.rhMax-1), 100*(y.wFront/ref.wFront-1))
		if worst > 0.05 {
			t.Errorf("%+v: %.1f %% off the finest", o, 100*worst)
		}
	}
}
