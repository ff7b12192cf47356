package screen

import (
	"math"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
)

// Allowance is the insulation a wall can take under a strategy before the first
// limit is reached, other things as judged.
type Allowance struct {
	Known     bool
	Thickness float64      // m of the sized layer, 0 when even the thinnest is too much
	R         float64      // m²K/W that thickness adds
	Full      bool         // the strategy's whole range is allowed
	By        indicator.ID // the limit reached first, unless Full
}

// border finds how many of n steps, thinnest first, keep the limits, and which
// limit the next one exceeds. It takes for granted that what a thinner layer
// exceeds a thicker one does too (common practice, no source). from and to bound
// what is known already: steps below from keep the limits, step to exceeds last.
// The far end is asked first, since mostly all or none keep them.
func border(from, to, n int, last indicator.ID, ask func(k int) (over bool, by indicator.ID, err error)) (int, indicator.ID, error) {
	for first := true; from < to; first = false {
		k := (from + to) / 2
		switch {
		case first && to == n:
			k = n - 1
		case first:
			k = from
		}
		over, by, err := ask(k)
		if err != nil {
			return 0, 0, err
		}
		if over {
			to, last = k, by
		} else {
			from = k + 1
		}
	}
	return from, last, nil
}

// allowanceOf finds the allowance of a judgement from what its usual thickness
// came to.
func (e *Engine) allowanceOf(j *Judgement, usual float64, by indicator.ID, ask func(sized float64) (bool, indicator.ID, error)) (Allowance, error) {
	st := &e.strategies[j.Strategy]
	t := &st.Thickness
	n := t.Steps()
	if n == 0 || j.Excluded || !j.HasGovern {
		return Allowance{}, nil
	}
	// The usual thickness, mostly but not always a step, is judged already.
	from, to := 0, n
	at := (t.Typical - t.Min) / t.Step
	if usual > 1 {
		to = min(int(math.Ceil(at-1e-6)), n-1)
	} else {
		from = min(int(math.Floor(at+1e-6))+1, n)
	}
	kept, by, err := border(from, to, n, by, func(k int) (bool, indicator.ID, error) { return ask(t.At(k)) })
	if err != nil {
		return Allowance{}, err
	}
	a := Allowance{Known: true, Full: kept == n}
	if !a.Full {
		a.By = by
	}
	if kept > 0 {
		a.Thickness = t.At(kept - 1)
		layers := slices.Concat(st.Outside, st.Inside) // exactly one of them sized, as there are steps
		sized := slices.IndexFunc(layers, func(l config.StrategyLayer) bool { return l.Sized })
		a.R = a.Thickness / e.materials[layers[sized].Material].Lambda.Typical
	}
	return a, nil
}

// allowance finds the allowance by the engine, in the typical world.
func (h *home) allowance(j *Judgement, usual trial) (Allowance, error) {
	u, by := usual.governing()
	return h.e.allowanceOf(j, u, by, func(sized float64) (bool, indicator.ID, error) {
		t, err := h.ask(&usual.world, usual.facing, sized, false)
		_, by := t.governing()
		return t.over(), by, err
	})
}

// steadyAllowance finds the allowance by the steady tier.
func (w *Worker) steadyAllowance(at *world, j *Judgement) Allowance {
	a, _ := w.e.allowanceOf(j, j.Typical, j.Governing, func(sized float64) (bool, indicator.ID, error) {
		r, _ := w.monthly(at, sized)
		id, ok := r.Governing()
		return ok && r[id].Utilisation > 1, id, nil
	})
	return a
}

// DrierFace is how much the face may take up for the limits to be kept, where
// they are not: what a treatment, a render or repointing would have to reach.
type DrierFace struct {
	Sought bool
	Now    float64 // A_w of the face as judged, kg/(m²·s^½)
	Enough float64 // the most found to keep every limit, kg/(m²·s^½); 0 where a drier face alone does not
}

// The faces tried, as shares of A_w as it is: a sixth of a decade apart, from
// two thirds to a thirtieth, about what a silicone treatment leaves of it. From memory.
const (
	drierFaces = 9
	drierStep  = 1.0 / 6
)

// drier seeks the wettest face that keeps the limits of a typical world that
// exceeds them. It takes for granted that what a face keeps a drier one keeps
// too (common practice, no source).
func (h *home) drier(j *Judgement) error {
	st := &h.e.strategies[j.Strategy]
	if j.Tier != indicator.Transient || j.Failed || j.Excluded || j.Typical <= 1 || len(st.Outside) > 0 {
		return nil
	}
	at := h.e.worldOf(h.e.repaired(st, h.b, &Judgement{}), st, point{})
	takes := at.Stone.Aw
	if f := h.e.materials[h.e.outer[at.cat[ingest.OuterFinish]].Material]; f != nil && f.Aw.Typical > 0 {
		takes = f.Aw.Typical
	}
	if takes*at.Skin.Factor == 0 {
		return nil
	}
	share := func(k int) float64 { return math.Pow(10, -drierStep*float64(drierFaces-k)) }
	kept, _, err := border(0, drierFaces, drierFaces, j.Governing, func(k int) (bool, indicator.ID, error) {
		drier := at
		drier.Skin.Factor *= share(k)
		t, err := h.ask(&drier, j.Facing, j.Thickness, j.HeldBack)
		_, by := t.governing()
		return t.over(), by, err
	})
	if err != nil {
		return err
	}
	j.Drier = DrierFace{Sought: true, Now: takes * at.Skin.Factor}
	if kept > 0 {
		j.Drier.Enough = j.Drier.Now * share(kept-1)
	}
	return nil
}
