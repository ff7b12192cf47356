package transient

import (
	"math"
	"testing"
)

// √t law: free uptake must return the A_w put in within 3 % (the exponential
// diffusivity of Künzel 1995 itself returns 1.010·A_w: ∫(1+θ)D dθ).
func TestCapillaryUptakeReturnsAw(t *testing.T) {
	for _, c := range []struct {
		m     Material
		thick float64
		hours int
	}{
		{brick, 0.6, 48}, {mortar, 0.3, 24}, {sandstone, 0.4, 96},
		{porous("dense limestone", 2600, 850, 2.3, 2, 2, 20, 0.01, 250, 200), 0.6, 240},
	} {
		aw := c.m.Liquid.(CapillaryUptake).Aw
		s, err := NewSolver(Wall{Layers: []Layer{{Thickness: c.thick, Material: compiled(t, c.m)}}}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		s.SetUniform(20, 0.05)
		e := Edge{Theta: 20, H: math.Inf(1)}
		d := constantDrive(e, e).withContact(outer, 0)
		var sum float64
		done := 0
		for h := 1; h <= c.hours; h *= 2 {
			r := s.Run(d, h-done, nil)
			if r.Err != nil {
				t.Fatal(r.Err)
			}
			done = h
			sum += r.Flows.RainFace
			got := sum / math.Sqrt(float64(h)*3600)
			t.Logf("%-16s %3d h: A_w %.5f of %.5f kg/m²√s (%+.2f %%), %+v", c.m.Name, h, got, aw, 100*(got/aw-1), r.Counters)
			if math.Abs(got/aw-1) > 0.03 {
				t.Errorf("%s after %d h: A_w = %.5f, put in %.5f", c.m.Name, h, got, aw)
			}
		}
	}
}
