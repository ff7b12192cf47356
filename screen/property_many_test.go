//go:build slow

package screen_test

import (
	"slices"
	"strings"
	"testing"

	"wallsift/model/indicator"
)

// manyfold multiplies the cases of the random properties in the long tests.
const manyfold = 3

// The same seed gives the same chances, whatever the order of the rows and the
// number of workers.
func TestTheSeedFixesChances(t *testing.T) {
	rows := blurred(6, 1)
	lines := strings.SplitAfter(strings.TrimSuffix(rows, "\n")+"\n", "\n")
	slices.Reverse(lines)
	first := screenBlurred(t, rows, map[string]any{"run.workers": 2})
	again := screenBlurred(t, strings.Join(lines, ""), map[string]any{"run.workers": 1})
	sampled := 0
	for id, list := range first {
		for i, j := range list {
			if j.Tier != indicator.Transient || j.Failed {
				continue
			}
			sampled++
			if k := again[id][i]; k.Chance != j.Chance || k.Low != j.Low || k.High != j.High || k.Verdict != j.Verdict {
				t.Errorf("%s: chance %g (%g to %g), in another order %g (%g to %g)", id, j.Chance, j.Low, j.High, k.Chance, k.Low, k.High)
			}
		}
	}
	if sampled == 0 {
		t.Fatal("nothing was sampled")
	}
}
