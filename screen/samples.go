package screen

import (
	"cmp"
	"slices"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/sampling"
)

// samples is what a judgement came to in one world after the other.
type samples struct {
	over    []bool
	governs []float64 // governing utilisation, as pressed
	by      []indicator.ID
	order   []int
}

func newSamples(n int) samples {
	return samples{make([]bool, n), make([]float64, n), make([]indicator.ID, n), make([]int, n)}
}

// set records sample n; any is false where nothing judges it.
func (s *samples) set(n int, pressed float64, by indicator.ID, any bool) {
	if !any {
		pressed = press(leastUtilisation)
	}
	s.over[n], s.governs[n], s.by[n] = any && pressed > 0, pressed, by
}

// settle gives j the chance that a limit is exceeded and the tenth and ninetieth
// percentile of the governing utilisation.
func (s *samples) settle(j *Judgement) {
	est := sampling.Chance(s.over, replicates)
	j.Chance, j.ChanceError = est.P, max(est.High-est.P, est.P-est.Low)
	for n := range s.order {
		s.order[n] = n
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(s.governs[a], s.governs[b]) })
	low, high := s.order[len(s.order)/10], s.order[len(s.order)*9/10]
	j.Low, j.High, j.GoverningHigh = min(j.Typical, release(s.governs[low])), release(s.governs[high]), s.by[high]
	if j.High < j.Typical {
		j.High, j.GoverningHigh = j.Typical, j.Governing
	}
}

// decide gives a sampled judgement its verdict and what ranks it.
func (e *Engine) decide(j *Judgement) {
	j.Verdict = j.chanceVerdict(&e.cfg.Chance)
	j.Margin = grade(j.High, e.cfg.Rank.MarginSteps)
	j.settleScore()
}

// byRank puts the judgements of one building in order.
func byRank(list []Judgement) {
	slices.SortFunc(list, func(a, b Judgement) int {
		return cmp.Or(a.key().compare(b.key()), int(a.Strategy)-int(b.Strategy))
	})
}

// runSamples gives a judgement its chance from the engine itself, run for each of
// the draws.
func (w *Worker) runSamples(b *ingest.Building, now *facts, j *Judgement, draws [][]float64) error {
	e := w.e
	st := &e.strategies[j.Strategy]
	var scratch Judgement
	after := e.repaired(st, now, &scratch)
	s := newSamples(len(draws))
	for n, p := range draws {
		drawn := e.worldOf(b, &after, st, p)
		out, before, err := w.outcomes(b, now, st, &drawn, st.Thickness.Typical, p)
		if err != nil {
			return err
		}
		r := out.Judge(e.question(st, &drawn, before))
		id, any := r.Governing()
		s.set(n, press(r[id].Utilisation), id, any)
	}
	s.settle(j)
	return nil
}
