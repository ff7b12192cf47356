//go:build slow

package screen_test

import (
	"slices"
	"sort"
	"sync"
	"testing"
)

// What the typical case is told to come to is the worst of its facings, though only
// those are run finely that may be by quick runs. Below half of a limit it decides
// nothing; a hundredth is within what fine runs are exact to.
func TestTheWorstFacingIsTold(t *testing.T) {
	cases := 0
	var short []float64 // share of the worst that is not told
	for i, n := range []int{60, 30} {
		p := &portfolios[i]
		e := newEngine(t, hourByHour(map[string]any{"chance.draws": 0}), p.files...)
		homes := spread(p.homes(t), n)
		got := make([][][2]float64, len(homes))
		var wg sync.WaitGroup
		for first := range 2 {
			wg.Go(func() {
				w := e.NewWorker()
				for k := first; k < len(homes); k += 2 {
					var err error
					if got[k], err = w.Facings(&homes[k]); err != nil {
						t.Error(err)
					}
				}
			})
		}
		wg.Wait()
		for _, u := range slices.Concat(got...) {
			if cases++; u[1] > 0.5 {
				short = append(short, max(0, 1-u[0]/u[1]))
			}
		}
	}
	slices.Sort(short)
	n := len(short)
	off := n - sort.Search(n, func(i int) bool { return short[i] > 0.01 })
	t.Logf("%d cases with several facings, %d of them beyond half of a limit: %d told more than 1 %% too low, the worst by %.1f %%", cases, n, off, 100*short[n-1])
	if n < 200 || off > n/100 || short[n-1] > 0.05 {
		t.Errorf("of %d cases %d are told too low", n, off)
	}
}
