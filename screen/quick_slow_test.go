//go:build slow

package screen_test

import (
	"math"
	"slices"
	"sync"
	"testing"

	"wallsift/model/indicator"
	"wallsift/screen"
)

// What quick draws may get wrong though they are not run again, as shares of the
// draws: choices of this tool, well below what 64 draws can tell. A danger that is
// missed is worse than a false alarm.
const (
	mostMissed = 0.001
	mostFalse  = 0.005
)

// Quick draws that no limit is near to say of it what fine ones say. The table, with
// -v, is that of model/transient/README.md: off is the difference of the logarithms of
// the shares of the limit, where one of them is above 0.3 and the other below 3.
func TestQuickDrawsAgainstFineOnes(t *testing.T) {
	const draws = 16
	var all []screen.Twice
	for i, n := range []int{20, 12} {
		p := &portfolios[i]
		e := newEngine(t, hourByHour(map[string]any{"chance.draws": 64}), p.files...)
		homes := spread(p.homes(t), n)
		got := make([][]screen.Twice, len(homes))
		var wg sync.WaitGroup
		for first := range 2 {
			wg.Go(func() {
				w := e.NewWorker()
				for k := first; k < len(homes); k += 2 {
					var err error
					if got[k], err = w.QuickAndFine(&homes[k], draws); err != nil {
						t.Error(err)
					}
				}
			})
		}
		wg.Wait()
		all = append(all, slices.Concat(got...)...)
	}
	over := func(r *indicator.Result) bool {
		return slices.ContainsFunc(r[:], func(f indicator.Finding) bool { return f.Utilisation > 1 })
	}
	missed, alarms, again := 0, 0, 0
	var off, bias [indicator.Count][]float64
	for i := range all {
		d := &all[i]
		for id := range d.Quick {
			q, f := d.Quick[id].Utilisation, d.Fine[id].Utilisation
			if max(q, f) > 0.3 && min(q, f) < 3 {
				x := math.Log(max(q, 0.05) / max(f, 0.05))
				off[id], bias[id] = append(off[id], math.Abs(x)), append(bias[id], x)
			}
		}
		switch q, f := over(&d.Quick), over(&d.Fine); {
		case d.Again:
			again++
		case f && !q:
			missed++
		case q && !f:
			alarms++
		}
	}
	for id, x := range off {
		if n := len(x); n > 0 {
			slices.Sort(x)
			sum := 0.0
			for _, v := range bias[id] {
				sum += v
			}
			t.Logf("%v: %d draws, off by %.3f (median), %.3f (95 of 100), mean %+.3f", indicator.ID(id), n, x[n/2], x[n*95/100], sum/float64(n))
		}
	}
	n := float64(len(all))
	t.Logf("%d draws: %.1f %% are run again; of the others %d exceed a limit unseen, %d are said to and do not", len(all), 100*float64(again)/n, missed, alarms)
	if float64(missed) > mostMissed*n || float64(alarms) > mostFalse*n {
		t.Errorf("of %d draws %d are missed and %d are false alarms", len(all), missed, alarms)
	}
	if len(all) < 3000 {
		t.Errorf("only %d draws", len(all))
	}
}
