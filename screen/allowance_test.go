package screen_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"wallsift/ingest"
	"wallsift/screen"
)

// sized keeps the engines of other thicknesses, by what they were made from.
var sized = map[string]*screen.Engine{}

// allowancesHold checks every allowance of a building against judgements of the
// same building with that thickness, and with the next, as the typical one: the
// limits must be kept and exceeded by those that were not part of the search.
func allowancesHold(t *testing.T, e *screen.Engine, b *ingest.Building, flags map[string]any, files ...string) (limited int) {
	t.Helper()
	with := func(id string, thickness float64) screen.Judgement {
		all := map[string]any{"strategies." + id + ".thickness.typical": thickness}
		maps.Copy(all, flags)
		name := fmt.Sprint(all, files)
		if sized[name] == nil {
			sized[name] = newEngine(t, all, files...)
		}
		return judge(sized[name], b).by[id]
	}
	for _, s := range e.Strategies() {
		if s.Side == "none" {
			continue
		}
		w, err := e.Explain([]ingest.Building{*b}, 0, s.ID)
		if err != nil {
			t.Fatal(err)
		}
		j := w.Judgement
		a := j.Allowance
		if a.Known == (j.Excluded || j.HeldBack) {
			t.Errorf("%s, %s: excluded %v, held back %v, allowance known %v", b.ID, s.ID, j.Excluded, j.HeldBack, a.Known)
		}
		if !a.Known {
			continue
		}
		if a.Thickness > 0 {
			kept := with(s.ID, a.Thickness)
			if kept.Typical > 1 {
				t.Errorf("%s, %s: %.0f mm are allowed and come to %.3f of the limit", b.ID, s.ID, 1000*a.Thickness, kept.Typical)
			}
			for _, l := range slices.Concat(s.Outside, s.Inside) {
				if r := a.Thickness / defaultConfig().Materials[l.Material].Lambda.Typical; l.Sized && math.Abs(a.R-r) > 1e-9 {
					t.Errorf("%s, %s: %.0f mm add %.4f m²K/W, said to add %.4f", b.ID, s.ID, 1000*a.Thickness, r, a.R)
				}
			}
		}
		if a.Full {
			if a.Thickness != s.Thickness.Max {
				t.Errorf("%s, %s: the whole range is allowed, yet only %.0f mm", b.ID, s.ID, 1000*a.Thickness)
			}
			continue
		}
		limited++
		next := s.Thickness.Min
		if a.Thickness > 0 {
			next = min(a.Thickness+s.Thickness.Step, s.Thickness.Max)
		}
		over := with(s.ID, next)
		if over.HeldBack || over.Thickness != next {
			continue // it was too much: something less was judged in its place
		}
		if over.Typical <= 1 || over.Governing != a.By {
			t.Errorf("%s, %s: %.0f mm are too much by %s, yet come to %.3f of the limit of %s", b.ID, s.ID, 1000*next, a.By.Info().Label, over.Typical, over.Governing.Info().Label)
		}
	}
	return limited
}

// Allowances of the steady tier over stones and zones.
func TestSteadyAllowance(t *testing.T) {
	limited := 0
	for i, stone := range stones() {
		b := documented()
		b.Stone, b.Zone = stone, zones()[i%len(zones())]
		limited += allowancesHold(t, defaults(), b, nil)
	}
	if limited == 0 {
		t.Error("no allowance is limited, the check has nothing to check")
	}
}
