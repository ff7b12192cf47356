//go:build slow

package screen_test

import (
	"sync"
	"testing"

	"wallsift/ingest"
	"wallsift/screen"
)

// leastAgreement is the share of verdicts that must not change when a judgement goes
// on to its last draw: screening choice of this tool.
const leastAgreement = 0.98

// Verdicts by looks, which stop when their answer is settled, are those that all
// draws come to.
func TestVerdictsByLooksAreThoseOfAllDraws(t *testing.T) {
	judgements, agreed, draws, all := 0, 0, 0, 0
	for i, n := range []int{25, 18} {
		p := &portfolios[i]
		e := newEngine(t, hourByHour(map[string]any{"chance.draws": 64}), append([]string{userFile(t, looked)}, p.files...)...)
		e.Keeper = newShelf() // the looks ask for runs that are made already
		homes := spread(p.homes(t), n)
		restore := screen.LookOnce()
		whole := judgeAll(t, e, homes)
		restore()
		for k, byLooks := range judgeAll(t, e, homes) {
			for id, j := range byLooks.by {
				full := whole[k].by[id]
				if j.Chance < 0 {
					continue
				}
				judgements++
				draws += int(j.Draws)
				all += int(full.Draws)
				if j.Verdict == full.Verdict {
					agreed++
					continue
				}
				t.Logf("%s, %s: by looks %v at %.3f (%.3f to %.3f, %d draws), by all %v at %.3f (%d draws)", homes[k].ID, id,
					j.Verdict, j.Chance, j.ChanceLow, j.ChanceHigh, j.Draws, full.Verdict, full.Chance, full.Draws)
			}
		}
		t.Logf("%s: %d homes, %d of %d judgements agree so far", p.file, n, agreed, judgements)
	}
	if judgements < 200 {
		t.Fatalf("%d judgements were drawn", judgements)
	}
	share := float64(agreed) / float64(judgements)
	t.Logf("%d judgements: %.1f %% agree, %.1f draws by looks, %.1f of all", judgements, 100*share, float64(draws)/float64(judgements), float64(all)/float64(judgements))
	if share < leastAgreement {
		t.Errorf("%.1f %% of the verdicts agree", 100*share)
	}
}

// looked leaves out what adds little to the variety of verdicts.
const looked = "strategies:\n  drained_cavity: {drop: true}\n  tight_foam: {drop: true}\n"

// judgeAll judges homes on two goroutines.
func judgeAll(t *testing.T, e *screen.Engine, homes []ingest.Building) []*answer {
	out := make([]*answer, len(homes))
	var wg sync.WaitGroup
	for first := range 2 {
		wg.Go(func() {
			for k := first; k < len(homes); k += 2 {
				out[k] = judge(e, &homes[k])
			}
		})
	}
	wg.Wait()
	return out
}
