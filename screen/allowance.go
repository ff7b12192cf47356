package screen

import (
	"math"
	"slices"

	"wallsift/ingest"
	"wallsift/model/indicator"
)

// trial is what a wall comes to at one thickness.
type trial struct {
	over bool
	by   indicator.ID // the limit that is exceeded
}

// trialOf says whether a result exceeds a limit.
func trialOf(r *indicator.Result) trial {
	id, ok := r.Governing()
	return trial{ok && r[id].Utilisation > 1, id}
}

// border finds how many of n steps, thinnest first, keep the limits, and which
// limit the next one exceeds. It takes for granted that what a thinner layer
// exceeds a thicker one does too (common practice, no source), and asks as few
// steps as it can: those beside the guess first. from and to bound what is
// known already: steps below from keep the limits, step to exceeds last.
func border(from, to, guess int, last indicator.ID, ask func(k int) (trial, error)) (int, indicator.ID, error) {
	for from < to {
		k := (from + to) / 2
		switch {
		case guess-1 >= from && guess-1 < to: // the last one said to keep them
			k = guess - 1
		case guess == from:
			k = guess
		}
		t, err := ask(k)
		if err != nil {
			return 0, 0, err
		}
		if t.over {
			to, last = k, t.by
		} else {
			from = k + 1
		}
	}
	return from, last, nil
}

// allowanceOf finds the allowance of a judgement. guess is the number of steps
// thought to keep the limits.
func (e *Engine) allowanceOf(j *Judgement, guess int, ask func(k int) (trial, error)) (Allowance, error) {
	st := &e.strategies[j.Strategy]
	t := &st.Thickness
	n := t.Steps()
	if n == 0 || j.Excluded || !j.HasGovern {
		return Allowance{}, nil
	}
	// The typical thickness, mostly but not always a step, is judged already.
	from, to, last := 0, n, indicator.ID(0)
	at := (t.Typical - t.Min) / t.Step
	if j.Typical > 1 {
		to, last = min(int(math.Ceil(at-1e-6)), n-1), j.Governing
	} else {
		from = min(int(math.Floor(at+1e-6))+1, n)
	}
	kept, by, err := border(from, to, guess, last, ask)
	if err != nil {
		return Allowance{}, err
	}
	a := Allowance{Known: true, Full: kept == n}
	if !a.Full {
		a.By = by
	}
	if kept > 0 {
		a.Thickness = t.At(kept - 1)
		a.R = j.RAdded + e.sizedR(st, a.Thickness) - e.sizedR(st, st.Thickness.Typical)
	}
	return a, nil
}

// sizedR is the resistance of the sized layer alone at a thickness, m²K/W.
func (e *Engine) sizedR(st *strategy, thickness float64) float64 {
	for _, l := range slices.Concat(st.Outside, st.Inside) {
		if l.Sized {
			return thickness / e.materials[l.Material].Lambda.Typical
		}
	}
	return 0
}

// runAt asks the transient engine how a building's typical world fares with
// another thickness.
func (w *Worker) runAt(b *ingest.Building, now *facts, st *strategy, world *world, sized float64) (trial, error) {
	out, before, err := w.outcomes(b, now, st, world, sized, nil)
	if err != nil {
		return trial{}, err
	}
	r := out.Judge(w.e.question(st, world, before))
	return trialOf(&r), nil
}

// steadyAllowance finds the allowance by the steady tier.
func (w *Worker) steadyAllowance(z *zone, k caseKey, after *facts, st *strategy, j *Judgement) Allowance {
	a, _ := w.e.allowanceOf(j, st.Thickness.Steps(), func(step int) (trial, error) {
		k.sized = uint8(step + 1)
		heat := w.heat(z, &k, &w.own[1])
		r := w.rain(z, &k, after, typical, &heat[typical], st)
		return trialOf(&r), nil
	})
	return a
}
