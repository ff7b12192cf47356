package screen

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"wallsift/model/indicator"
	"wallsift/model/sampling"
)

// drawn is what the draws say of one strategy.
type drawn struct {
	typical trial
	facings []float64 // that can still govern
	governs []int     // by facing: draws it governs
	logs    []float64 // by draw
	by      []indicator.ID
	unsure  []bool    // by draw: a quick run that came near to a limit
	weights []float64 // of the draws run
	chance  sampling.Chance
}

// over says whether draw k exceeds a limit.
func (d *drawn) over(k int) bool { return d.logs[k] > 0 }

// looks are the numbers of draws after which a judgement may stop.
var looks = [...]int{4, 8, 16, 32, 48, 64}

// Choices of this tool.
const (
	// leastDraws are the fewest where a category is drawn, since four may miss a sort,
	// and where a draw keeps the limit by little: of 479 judgements of the demo that
	// four settled, 8 were suited that 16 or 32 draws leave in doubt.
	leastDraws = 8
	// drawsInSurvey are the most where a survey comes first in any case.
	drawsInSurvey = 16
)

// farEnough is the distance from the limit, in log-utilisation, beyond which it does
// not matter how far: three quarters of the limit, or four thirds. Values further
// out would only spoil the normal law of the logarithms.
var farEnough = math.Log(4.0 / 3)

// LeastTold is the utilisation below which draws are not told apart, and
// mostUtilisation that above which.
const (
	LeastTold       = 0.1
	mostUtilisation = 4
)

// sample gives a judgement its verdict: where it is open what is not known is drawn
// first, until the verdict is settled. Only draws are run that the wall's own past
// leaves likely.
func (h *home) sample(j *Judgement) error {
	e, d := h.e, h.open[j.Strategy]
	defer e.decide(j)
	if d == nil || len(e.draws) == 0 {
		return nil
	}
	rule := sampling.Rule{Below: e.cfg.Chance.SuitedBelow, Above: e.cfg.Chance.NotSuitedAbove, Confidence: e.cfg.Chance.Confidence}
	most := len(e.draws)
	if j.Typical > 1 && !j.Unlikely || j.Survey {
		// It is not suited, or asks for a survey, whatever the chance.
		rule.Below, most = 0, min(most, drawsInSurvey)
	}
	for _, look := range looks {
		if look < leastDraws && h.mixed() {
			continue
		}
		look = min(look, most)
		from := len(d.logs)
		var err error
		if d.weights, err = h.weights(look); err != nil {
			return err
		}
		for _, w := range d.weights[from:] {
			d.logs, d.by, d.unsure = append(d.logs, math.NaN()), append(d.by, 0), append(d.unsure, w > 0)
		}
		if err := h.drawUnsure(d, from, quick); err != nil {
			return err
		}
		if d.hangs(rule) {
			if err := h.drawUnsure(d, 0, fine); err != nil {
				return err
			}
		}
		d.dropFacings()
		d.chance = d.assess(rule, 0)
		if d.chance.Settled(rule) && (look >= leastDraws || !d.byLittle()) || look == most {
			break
		}
	}
	// Few draws far from the limit settle a verdict, but no figure finer than their
	// number and the threshold.
	grain := 1 / float64(max(d.chance.Draws, 1))
	j.Chance, j.Draws = d.chance.P, int32(d.chance.Draws)
	j.ChanceHigh = max(d.chance.High, min(e.cfg.Chance.SuitedBelow, grain))
	j.ChanceLow = min(d.chance.Low, max(e.cfg.Chance.NotSuitedAbove, 1-grain))
	j.Low, j.High, j.GoverningHigh = j.Typical, j.Typical, j.Governing
	if d.chance.Draws == 0 {
		return nil // the wall's past leaves none of them likely
	}
	j.Low, j.High = min(d.quantile(0.1), j.Typical), d.quantile(0.9)
	if j.GoverningHigh = d.by[floats.MaxIdx(d.logs)]; j.High < j.Typical {
		j.High, j.GoverningHigh = j.Typical, j.Governing
	}
	return nil
}

// mixed says that a category is drawn, so that the draws are of several sorts.
func (h *home) mixed() bool {
	for c, p := range h.e.priors {
		if p != nil && h.b.Cat[c] == 0 {
			return true
		}
	}
	return false
}

// drawUnsure runs the draws from first on that are not sure yet.
func (h *home) drawUnsure(d *drawn, first int, by numerics) error {
	var which []int
	for n := first; n < len(d.unsure); n++ {
		if d.unsure[n] {
			which = append(which, n)
		}
	}
	leads := make([]int, len(which))
	err := h.each(len(which), func(i int) (err error) {
		leads[i], err = h.drawOne(d, which[i], by)
		return err
	})
	if err == nil {
		for _, k := range leads {
			d.governs[k]++
		}
	}
	return err
}

// drawOne runs a draw at the facings that can govern, and says which of them leads.
// What comes near to a limit is run again if fine runs are wanted.
func (h *home) drawOne(d *drawn, n int, by numerics) (leads int, err error) {
	at := h.e.worldOf(d.typical.world.of, d.typical.world.under, h.point(n))
	most := 0.0
	d.unsure[n] = false
	for i, f := range d.facings {
		t, err := h.askBy(quick, &at, f, d.typical.sized, d.typical.held)
		switch near := err == nil && t.near(); {
		case near && (by == fine || t.outcome.Failed):
			t, err = h.askBy(fine, &at, f, d.typical.sized, d.typical.held)
		case near:
			d.unsure[n] = true
		}
		if err != nil {
			return 0, err
		}
		u, id := t.governing()
		if u*nearGoverning > most {
			leads = i
		}
		if u > most {
			most, d.by[n] = u, id
		}
	}
	d.logs[n] = math.Log(max(most, LeastTold))
	return leads, nil
}

// byLittle says whether a draw keeps the limit and is not far from it.
func (d *drawn) byLittle() bool {
	return slices.ContainsFunc(d.logs, func(x float64) bool { return x <= 0 && x > -farEnough })
}

// dropFacings gives up facings that governed no draw of a look.
func (d *drawn) dropFacings() {
	kept := d.facings[:0]
	for i, f := range d.facings {
		if d.governs[i] > 0 || i == 0 {
			kept = append(kept, f)
		}
	}
	d.facings, d.governs = kept, make([]int, len(kept))
}

// hangs says whether the answer may be another where the draws that are not sure fall
// on the other side of the limit.
func (d *drawn) hangs(rule sampling.Rule) bool {
	if !slices.Contains(d.unsure, true) {
		return false
	}
	under, over := d.assess(rule, -1), d.assess(rule, 1)
	return !under.Settled(rule) || !over.Settled(rule) || rule.Part(under.P) != rule.Part(over.P)
}

// assess reads the chance off the draws that count. Those that are not sure fall under
// the limit where side is negative, over it where it is positive, else where they are.
func (d *drawn) assess(rule sampling.Rule, side float64) sampling.Chance {
	x, w := d.counted(func(n int) float64 {
		l := d.logs[n]
		if d.unsure[n] && side != 0 {
			l = side * math.Abs(l)
		}
		return min(max(l, -farEnough), farEnough)
	})
	if len(x) < 2 {
		return sampling.Chance{P: 0.5, Low: 0, High: 1, Draws: len(x)}
	}
	return sampling.Assess(x, w, rule.Confidence)
}

// counted lists a figure of the draws that count, and their weights.
func (d *drawn) counted(figure func(n int) float64) (x, w []float64) {
	for n, l := range d.logs {
		if d.weights[n] > 0 && !math.IsNaN(l) {
			x, w = append(x, figure(n)), append(w, d.weights[n])
		}
	}
	return x, w
}

// quantile is the utilisation that a share of the draws, by weight, keeps below.
func (d *drawn) quantile(share float64) float64 {
	x, w := d.counted(func(n int) float64 { return d.logs[n] })
	stat.SortWeighted(x, w)
	return min(math.Exp(stat.Quantile(share, stat.Empirical, x, w)), mostUtilisation)
}
