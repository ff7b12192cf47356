package transient

import (
	"math"
	"testing"
)

type yearly struct{ heat, face, water, rhMean, rhMax, wFront float64 }

func yearOf(t *testing.T, w Wall, o Options) yearly {
	t.Helper()
	s, err := NewSolver(w, o)
	if err != nil {
		t.Fatal(err)
	}
	s.SetUniform(10, 0.8)
	d := fakeDrive(t, 8760)
	s.Run(d, 8760, nil)
	var y yearly
	// RH at the cold side of the insulation, read at the interface by the two
	// cells around it.
	r := s.Run(d, 8760, func(v *Solver) {
		c := v.CellAt(0.42 - 1e-6)
		rh := v.RH(c)
		y.rhMean += rh / 8760
		y.rhMax = math.Max(y.rhMax, rh)
		y.water += (v.LayerWater(0) + v.LayerWater(1)) / 8760
		a := v.CellAt(0.1)
		// Interpolate to the depth so that the grid does not move the probe.
		b := a + 1
		if v.Depth(a) > 0.1 {
			b = a - 1
		}
		f := (0.1 - v.Depth(a)) / (v.Depth(b) - v.Depth(a))
		y.wFront += (v.Water(a)*(1-f) + v.Water(b)*f) / 8760
	})
	if r.Err != nil {
		t.Fatal(r.Err)
	}
	y.heat, y.face = r.Flows.HeatIn, r.Flows.RainFace
	return y
}

// Halving the grid and the steps moves yearly results by less than 2 %.
func TestRefinementMovesYearLittle(t *testing.T) {
	w := retrofitWall(t)
	coarse := yearOf(t, w, Options{})
	fine := yearOf(t, w, Options{Cells: 80, Fine: 0.0005, MaxStep: 1800, Tolerance: 0.25})
	t.Logf("default %+v", coarse)
	t.Logf("halved  %+v", fine)
	for _, c := range []struct {
		name string
		a, b float64
	}{
		{"heat to the room side", coarse.heat, fine.heat}, {"rain taken up", coarse.face, fine.face},
		{"mean water in masonry", coarse.water, fine.water}, {"mean RH at the insulation", coarse.rhMean, fine.rhMean},
		{"peak RH at the insulation", coarse.rhMax, fine.rhMax}, {"mean water at 100 mm", coarse.wFront, fine.wFront},
	} {
		t.Logf("%s: %+.2f %%", c.name, 100*(c.a/c.b-1))
		if math.Abs(c.a/c.b-1) > 0.02 {
			t.Errorf("%s moves by %.2f %%, limit 2 %%", c.name, 100*math.Abs(c.a/c.b-1))
		}
	}
}
