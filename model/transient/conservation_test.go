package transient

import (
	"errors"
	"math"
	"testing"

	"wallsift/model/air"
)

// Conservation over a year: in − out − stored below 1e-8 of throughput, for
// water and heat, with rain, frost, deposit, ventilation and drainage at work.
func TestYearConservesWaterAndHeat(t *testing.T) {
	w := retrofitWall(t)
	w.Layers = append(w.Layers[:2:2], Layer{Thickness: 0.02, Material: cavity(t), AirChange: 5, Drained: true,
		Contact: Interface{CapillaryBreak: true}}, w.Layers[2], w.Layers[3])
	w.RainDepth = 0.43 // into the cavity
	for _, c := range []struct {
		name string
		w    Wall
	}{{"retrofit", retrofitWall(t)}, {"drained cavity", w}} {
		s, err := NewSolver(c.w, Options{})
		if err != nil {
			t.Fatal(err)
		}
		s.SetUniform(10, 0.8)
		w0, h0 := held(s)
		bw, bh := s.booked()
		r := s.Run(fakeDrive(t, 8760), 8760, nil)
		if r.Err != nil {
			t.Fatal(r.Err)
		}
		w1, h1 := held(s)
		// Stored amounts read from the final temperatures and humidities, not
		// from the books: Newton's remainder of the last step shows here.
		stateW, stateH := s.openBy(w1-w0, h1-h0)
		w2, h2 := s.booked()
		bookW, bookH := s.openBy(w2-bw, h2-bh)
		t.Logf("%s: booked %.1e water, %.1e heat; by state %.1e water, %.1e heat; flows %+v, %+v", c.name, bookW, bookH, stateW, stateH, r.Flows, r.Counters)
		for _, v := range []float64{bookW, bookH, stateW, stateH} {
			if !(v < 1e-8) {
				t.Errorf("%s: balance open by %.2g of throughput, limit 1e-8", c.name, v)
			}
		}
		if r.Flows.runOff() < -1e-9*r.Flows.RainOffered {
			t.Errorf("%s: run-off %g kg/m² is negative", c.name, r.Flows.runOff())
		}
	}
}

// held is the water and enthalpy the state stands for.
func held(s *Solver) (water, heat float64) {
	s.evalProps(s.x, false)
	for i := range s.x {
		water += s.cells[i].w * s.dx[i]
		heat += s.cells[i].h * s.dx[i]
	}
	return water, heat
}

func cavity(t testing.TB) *Compiled {
	return compiled(t, Material{Name: "air layer", Density: 1.2, HeatCapacity: 1000, Lambda: 0.11,
		Storage: Parametric{Wf: 0.5, B: 1.05}, Vapour: Mu{0.5, 0.5}})
}

// More rain than the face can take must run off, and the face must not take
// more than free uptake would.
func TestExcessRainRunsOff(t *testing.T) {
	dense := porous("dense", 2600, 850, 2.3, 2, 2, 20, 0.002, 250, 200)
	s, err := NewSolver(Wall{Layers: []Layer{{Thickness: 0.3, Material: compiled(t, dense)}}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	s.SetUniform(10, 0.5)
	out := Edge{Theta: 10, P: air.Psat(10), H: 17, Beta: 1e-7, Rain: 1.0 / 3600}
	r := s.Run(constantDrive(out, Edge{Theta: 10, H: 8}), 24, nil)
	if r.Err != nil {
		t.Fatal(r.Err)
	}
	free := 0.002 * math.Sqrt(86400)
	t.Logf("offered %.3f, taken %.3f, free uptake %.3f, run-off %.3f kg/m²", r.Flows.RainOffered, r.Flows.RainFace, free, r.Flows.runOff())
	if math.Abs(r.Flows.RainFace/free-1) > 0.05 || math.Abs(r.Flows.RainOffered-24) > 1e-9 {
		t.Errorf("taken %.4f kg/m², free uptake %.4f; offered %.4f", r.Flows.RainFace, free, r.Flows.RainOffered)
	}
}

// A step that cannot converge must end the run with an error, not with NaN.
func TestNonConvergenceIsReported(t *testing.T) {
	s, err := NewSolver(Wall{Layers: []Layer{{Thickness: 0.3, Material: compiled(t, brick)}}}, Options{MinStep: 600})
	if err != nil {
		t.Fatal(err)
	}
	s.SetUniform(20, 0.3)
	r := s.Run(constantDrive(Edge{Theta: 20, H: 8}, Edge{}).withContact(outer, 0), 10, nil)
	if !errors.Is(r.Err, ErrNotConverged) || r.Hours != 0 {
		t.Errorf("got %v after %d hours, want ErrNotConverged after none", r.Err, r.Hours)
	}
	for i := 0; i < s.n; i++ {
		if v := s; math.IsNaN(v.x[i].t) || math.IsNaN(v.RH(i)) {
			t.Fatal("NaN in the state")
		}
	}
	bad := constantDrive(Edge{Theta: math.NaN(), H: 8}, Edge{})
	if r := s.Run(bad, 10, nil); r.Err == nil {
		t.Error("NaN in the forcing went unnoticed")
	}
}
