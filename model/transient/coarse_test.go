package transient

import (
	"math"
	"testing"
)

// A coarse drive keeps the means: the yearly periodic state found with blocks of
// four hours is close to the one found with hours, in fewer steps.
// Tolerance: 1 % of relative humidity and of free saturation, the order of the
// default grid's own error.
func TestCoarseDriveFindsTheYearlyState(t *testing.T) {
	state := func(d *Drive) (*Solver, Result) {
		s, err := NewSolver(retrofitWall(t), Options{})
		if err != nil {
			t.Fatal(err)
		}
		p := s.RunPeriodic(d, closely, nil)
		if p.Err != nil {
			t.Fatal(p.Err)
		}
		return s, p
	}
	fine, pf := state(fakeDrive(t, 8760))
	coarse, pc := state(fakeGathered(t, 8760, 0.4, Gather{Hours: 4}))
	if pc.Hours != 8760 || pf.Hours != 8760 {
		t.Fatalf("years of %d and %d hours", pc.Hours, pf.Hours)
	}
	if pc.Counters.Steps/pc.Years >= pf.Counters.Steps/pf.Years {
		t.Errorf("coarse year took %d steps, hourly one %d", pc.Counters.Steps/pc.Years, pf.Counters.Steps/pf.Years)
	}
	a, b := fine, coarse
	for i := range a.Cells() {
		wf := fine.tableOf(i).wf
		if d := math.Abs(a.RH(i) - b.RH(i)); d > 0.01 {
			t.Errorf("depth %.3f m: RH %.4f hourly, %.4f coarse", a.Depth(i), a.RH(i), b.RH(i))
		}
		if d := math.Abs(a.Water(i)-b.Water(i)) / wf; d > 0.01 {
			t.Errorf("depth %.3f m: w/w_f %.4f hourly, %.4f coarse", a.Depth(i), a.Water(i)/wf, b.Water(i)/wf)
		}
	}
	t.Logf("steps a year: %d hourly, %d coarse", pf.Counters.Steps/pf.Years, pc.Counters.Steps/pc.Years)
}
