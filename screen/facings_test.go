//go:build !race

package screen_test

import (
	"math"
	"testing"

	"wallsift/ingest"
	"wallsift/screen"
)

// aroundBrick is a home of brick in a wet place, where the facing matters.
func aroundBrick() *ingest.Building {
	b := documented()
	b.Stone, b.Zone = "brick_common", "oceanic_wet"
	return b
}

// A facing that is ruled out never makes a home worse: with the worst side among its
// outside walls it is never better off than without.
func TestRulingAFacingOutNeverWorsens(t *testing.T) {
	for name, e := range map[string]*screen.Engine{"steady": defaults(), "hourly": newEngine(t, hourByHour(map[string]any{"chance.draws": 0}), userFile(t, twoStrategies))} {
		all := aroundBrick()
		all.Num[ingest.Orientation] = math.NaN()
		all.Facings = ingest.FacingOf(0) | ingest.FacingOf(90) | ingest.FacingOf(180) | ingest.FacingOf(270)
		whole := judge(e, all)
		for _, out := range []float64{0, 90, 180, 270} {
			less := *all
			less.Facings &^= ingest.FacingOf(out)
			for id, j := range judge(e, &less).by {
				w := whole.by[id]
				if j.Thickness == w.Thickness && j.HeldBack == w.HeldBack && j.Typical > w.Typical || j.Verdict > w.Verdict || j.Allowance.Thickness < w.Allowance.Thickness {
					t.Errorf("%s, %s without %v°: %v at %.4f, %.0f mm, with it %v at %.4f, %.0f mm", name, id, out,
						j.Verdict, j.Typical, 1000*j.Allowance.Thickness, w.Verdict, w.Typical, 1000*w.Allowance.Thickness)
				}
			}
		}
	}
}

// A home that stands free has the same four facings when it is turned about.
func TestTurningAFreeHomeAboutChangesNothing(t *testing.T) {
	for name, e := range map[string]*screen.Engine{"steady": defaults(), "hourly": newEngine(t, hourByHour(map[string]any{"chance.draws": 4}), userFile(t, twoStrategies))} {
		b := aroundBrick()
		there := judge(e, b)
		b.Num[ingest.Orientation] = math.Mod(b.Num[ingest.Orientation]+180, 360)
		for id, j := range judge(e, b).by {
			if j != there.by[id] {
				t.Errorf("%s, %s: %+v, turned about %+v", name, id, there.by[id], j)
			}
		}
	}
}
