package screen

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/stat"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
)

// home is one building under judgement by the hourly engine.
type home struct {
	w     *Worker
	e     *Engine
	b     *ingest.Building
	now   *facts
	z     *zone
	runs  *runs
	draws [][]float64
	// past holds the wall as it is under the typical world and the draws, and
	// what that says of them.
	past     Past
	asFacing float64   // that the wall as it is was judged at in the typical world
	wear     []float64 // by draw: how near it comes to ruin, see worn
	looked   int       // draws of these that were run
	// open holds what is drawn of each strategy, by Judgement.Strategy.
	open map[uint8]*drawn
}

// newHome readies the engine for a building.
func (w *Worker) newHome(b *ingest.Building) *home {
	e := w.e
	z := e.zones[e.zoneIndex[b.Zone]]
	z.fill(e.cfg)
	z.climates(e.cfg)
	return &home{w: w, e: e, b: b, now: factsOf(b), z: z, runs: e.newRuns(w.sims, b), draws: e.draws,
		open: map[uint8]*drawn{}}
}

// trial is what a wall comes to under one strategy, world and thickness, at the
// facing that governs.
type trial struct {
	result  indicator.Result
	outcome *simulate.Outcome
	facing  float64
	facings []float64 // that came near to governing, the governing one first
	held    bool      // back at the joists
	world   world
}

// governing returns the largest utilisation and its indicator.
func (t *trial) governing() (float64, indicator.ID) {
	id, ok := t.result.Governing()
	if !ok {
		return 0, id
	}
	return t.result[id].Utilisation, id
}

func (t *trial) utilisation() float64 {
	u, _ := t.governing()
	return u
}

func (t *trial) over() bool { return t.utilisation() > 1 }

// within returns the least and the most that the governing utilisation of a quick run
// may be in a fine one.
func (t *trial) within() (least, most float64) {
	if t.outcome.Failed {
		return 0, math.Inf(1)
	}
	for id := range t.result {
		u, off := t.result[id].Utilisation, quickOff(indicator.ID(id))
		least, most = max(least, u/(1+off)), max(most, u/(1-off))
	}
	return least, most
}

// near says whether a quick run must be done again finely: it exceeds no limit for
// certain, and comes near to one.
func (t *trial) near() bool {
	least, most := t.within()
	return least < 1 && most > 1
}

// nearGoverning is how near to the governing utilisation another facing's must
// come, as a share of it, for the draws to follow that facing too; in a draw it
// governs only where it is worse by as much again.
const nearGoverning = 0.95

// try runs the typical world: quickly at the facings that can govern, and finely at
// those that may be the worst.
func (h *home) try(st *strategy, after *facts, sized float64, held bool) (worst trial, err error) {
	at := h.e.worldOf(h.b, after, st, point{})
	front := h.z.front(at.facings)
	run := func(by numerics, facings []float64) ([]trial, error) {
		out := make([]trial, len(facings))
		return out, h.each(len(facings), func(i int) (err error) {
			out[i], err = h.askBy(by, st, &at, facings[i], sized, -1, held)
			return err
		})
	}
	var follow []float64
	if len(front) > 1 {
		tried, err := run(quick, front)
		if err != nil {
			return worst, err
		}
		front, follow = worstOf(tried)
	}
	tried, err := run(fine, front)
	if err != nil {
		return worst, err
	}
	worst = slices.MaxFunc(tried, func(a, b trial) int { return cmp.Compare(a.utilisation(), b.utilisation()) })
	worst.facings = append([]float64{worst.facing}, slices.DeleteFunc(follow, func(f float64) bool { return f == worst.facing })...)
	return worst, nil
}

// worstOf returns the facings that may be the worst in fine runs, and those that came
// near to governing.
func worstOf(quickly []trial) (may, near []float64) {
	sure, most := 0.0, 0.0
	for i := range quickly {
		least, _ := quickly[i].within()
		sure, most = max(sure, least), max(most, quickly[i].utilisation())
	}
	for i := range quickly {
		t := &quickly[i]
		if _, upTo := t.within(); upTo >= sure {
			may = append(may, t.facing)
		}
		if t.utilisation() >= nearGoverning*most {
			near = append(near, t.facing)
		}
	}
	return may, near
}

// ask runs one world at one facing and judges it, quickly, and finely where that comes
// near to a limit. n is the draw, -1 for the typical world.
func (h *home) ask(st *strategy, at *world, facing, sized float64, n int, held bool) (trial, error) {
	t, err := h.askBy(quick, st, at, facing, sized, n, held)
	if err == nil && t.near() {
		return h.askBy(fine, st, at, facing, sized, n, held)
	}
	return t, err
}

func (h *home) askBy(by numerics, st *strategy, at *world, facing, sized float64, n int, held bool) (t trial, err error) {
	t = trial{facing: facing, held: held, world: *at}
	if t.outcome, err = h.run(by, st, at, facing, sized, n); err != nil {
		return t, err
	}
	// Frost counts what the strategy adds; where it has no damaging cycle there is
	// nothing to take off.
	before := t.outcome
	if !st.bare() && st.which.Has(indicator.Frost) && t.outcome.Frost.Cycles > 0 {
		if before, err = h.asItIs(by, n, facing); err != nil {
			return t, err
		}
	}
	t.result = t.outcome.Judge(h.e.question(st, at, before))
	if held {
		// The strip at the joists has no lining: its timber fares as in the wall
		// without one, once the repairs are done.
		bare := *at
		o, err := h.run(by, nil, &bare, facing, 0, n)
		if err != nil {
			return t, err
		}
		strip := o.Judge(h.e.question(st, at, nil))
		for _, id := range timberMeasures {
			t.result[id] = strip[id]
		}
	}
	return t, nil
}

func (h *home) run(by numerics, st *strategy, at *world, facing, sized float64, n int) (*simulate.Outcome, error) {
	return h.runs.run(h.job(by, st, at, facing, sized, n))
}

// job lays out the run of a world. A quick draw starts from where the typical world
// settles, a thickness between from where the usual one does, and a fine run from where
// the quick one does.
func (h *home) job(by numerics, st *strategy, at *world, facing, sized float64, n int) *job {
	j := &job{Case: h.e.caseOf(h.z, at, st, sized, facing)}
	j.Settings = h.e.numerics(by, n)
	switch {
	case by == fine:
		j.from = h.job(quick, st, at, facing, sized, n)
	case n >= 0:
		typical := h.e.worldOf(h.b, &facts{cat: at.given, num: h.now.num}, st, point{})
		if st == nil {
			facing = h.asFacing // draws of the wall as it is look their own ways
		}
		j.from = h.job(quick, st, &typical, facing, sized, -1)
	case st != nil && sized != st.Thickness.Typical && sized != st.Thickness.Min:
		j.from = h.job(quick, st, at, facing, st.Thickness.Typical, -1)
	}
	return j
}

// asItIs runs the wall as it is under draw n, or the typical world for -1.
func (h *home) asItIs(by numerics, n int, facing float64) (*simulate.Outcome, error) {
	at := h.e.worldOf(h.b, h.now, nil, h.point(n))
	return h.run(by, nil, &at, facing, 0, n)
}

func (h *home) point(n int) point {
	if n < 0 {
		return point{}
	}
	return point{draw: h.draws[n]}
}

// judge gives every strategy that wants it the engine's answer: first the typical
// case, then the draws, then what they say of surveys and of a drier face.
func (h *home) judge(a *Answer) error {
	if err := h.judgePast(); err != nil {
		return err
	}
	list := a.Judgements
	for i := range list {
		if h.e.wantsHourly(&list[i]) {
			if err := h.typical(&list[i]); err != nil {
				return fmt.Errorf("strategy %s: %w", h.e.strategies[list[i].Strategy].ID, err)
			}
		}
	}
	if len(h.draws) > 0 {
		for i := range list {
			if d := h.open[list[i].Strategy]; d != nil {
				if err := h.sample(&list[i], d); err != nil {
					return fmt.Errorf("strategy %s: %w", h.e.strategies[list[i].Strategy].ID, err)
				}
			}
		}
	}
	for i := range list {
		h.e.decide(&list[i])
	}
	byRank(list)
	a.Past = h.past
	if len(h.draws) > 0 {
		a.Survey = h.survey(list)
	}
	return h.drier(&list[0])
}

// typical gives a judgement the engine's answer for the typical case: at the
// strategy's usual thickness, or at its thinnest where the usual exceeds a limit;
// held back at the joists where their ends alone exceed one.
func (h *home) typical(j *Judgement) error {
	e, st := h.e, &h.e.strategies[j.Strategy]
	j.Tier = indicator.Transient
	e.gateEffects(st, h.now, j)
	after := e.repaired(st, h.now, j)
	thickness := st.Thickness.Typical
	t, err := h.try(st, &after, thickness, false)
	if err != nil {
		return err
	}
	usual := t
	if t.over() && st.Thickness.Steps() > 1 {
		if t, err = h.try(st, &after, st.Thickness.Min, false); err != nil {
			return err
		}
		thickness = st.Thickness.Min
	}
	if t.over() && h.timberAlone(st, &t) {
		back, err := h.try(st, &after, st.Thickness.Typical, true)
		if err != nil {
			return err
		}
		if !back.over() {
			t, thickness = back, st.Thickness.Typical
		}
	}
	j.Thickness, j.HeldBack, j.Facing, j.Facings = thickness, t.held, t.facing, uint8(len(t.world.facings))
	j.take(&t.result)
	j.MassLoss = t.outcome.MassLoss(t.world.depths)
	if !t.world.timber {
		j.MassLoss = 0
	}
	j.Failed, j.Gathering, j.Unlikely = t.outcome.Failed, t.outcome.Gathering, h.past.Typical
	j.course(t.outcome, &t.world)
	h.w.saving(h.b, h.now, &after, h.z, j)
	if j.Warned {
		j.Allowance = Allowance{} // that of the steady tier
		return nil                // never advice: the typical case says enough of it
	}
	// Of a lining held back, and where the typical case is not believed, that of the
	// whole lining in the typical case says nothing.
	if j.Allowance = (Allowance{}); !j.HeldBack && !j.Unlikely {
		if j.Allowance, err = h.allowance(j, &after, usual); err != nil {
			return err
		}
	}
	h.open[j.Strategy] = &drawn{st: st, after: after, sized: thickness, held: t.held, facings: t.facings, governs: make([]int, len(t.facings))}
	return nil
}

// timberAlone says whether only timber exceeds a limit, and only at joist ends,
// which a strip left bare would spare.
func (h *home) timberAlone(st *strategy, t *trial) bool {
	if st.HoldBack == nil || !t.world.timber || t.world.depths[depthLintels] || t.world.depths[depthBonds] {
		return false
	}
	rest := t.result
	for _, id := range timberMeasures {
		rest[id] = indicator.Finding{}
	}
	id, ok := rest.Governing()
	return !ok || rest[id].Utilisation <= 1
}

// course copies the yearly course that pages draw: the cold face, and the timber
// at the first depth that is judged.
func (j *Judgement) course(o *simulate.Outcome, at *world) {
	place := simulate.PlaceTimber
	for k, on := range at.depths {
		if on {
			place = simulate.PlaceTimber + k
			break
		}
	}
	j.Course = [2][simulate.Weeks]uint8{o.Course[simulate.PlaceCold], o.Course[place]}
	j.RainOnWall = o.Rain
}

// drawn is what the draws say of one strategy.
type drawn struct {
	st      *strategy
	after   facts
	sized   float64
	held    bool
	facings []float64 // that can still govern
	governs []int     // by facing: draws it governs
	logs    []float64 // by draw
	by      []indicator.ID
	unsure  []bool    // by draw: a quick run that came near to a limit
	weights []float64 // of the draws run
	chance  sampling.Chance
	settled bool
}

// over says whether draw k exceeds a limit.
func (d *drawn) over(k int) bool { return d.logs[k] > 0 }

// looks are the numbers of draws after which a judgement may stop.
var looks = [...]int{4, 8, 16, 32, 64}

// drawsOfMixed are the fewest draws where a category is drawn: four may miss a sort.
// drawsInSurvey are the most where a survey comes first in any case.
const (
	drawsOfMixed  = 8
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

// sample draws what is not known until the verdict is settled. Only draws are run
// that the wall's own past leaves likely.
func (h *home) sample(j *Judgement, d *drawn) error {
	e := h.e
	rule := sampling.Rule{Below: e.cfg.Chance.SuitedBelow, Above: e.cfg.Chance.NotSuitedAbove, Confidence: e.cfg.Chance.Confidence}
	most := len(h.draws)
	if j.Typical > 1 && !j.Unlikely || j.Survey {
		// It is not suited, or asks for a survey, whatever the chance.
		rule.Below, most = 0, min(most, drawsInSurvey)
	}
	first := 0
	if h.mixed() {
		first = drawsOfMixed
	}
	for _, look := range looks {
		if look < first {
			continue
		}
		look = min(look, most)
		weights, err := h.weights(look)
		if err != nil {
			return err
		}
		if err := h.draw(d, weights); err != nil {
			return err
		}
		d.weights = weights
		if d.hangs(rule) {
			if err := h.drawUnsure(d, 0, fine); err != nil {
				return err
			}
		}
		d.dropFacings()
		d.chance = d.assess(rule, d.log)
		if d.settled = d.chance.Settled(rule); d.settled || look == most {
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
	if j.GoverningHigh = d.governingHigh(); j.High < j.Typical {
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

// draw runs the draws up to the number of weights that an earlier look did not.
func (h *home) draw(d *drawn, weights []float64) error {
	first := len(d.logs)
	for _, w := range weights[first:] {
		d.logs, d.by, d.unsure = append(d.logs, math.NaN()), append(d.by, 0), append(d.unsure, w > 0)
	}
	return h.drawUnsure(d, first, quick)
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
	at := h.e.worldOf(h.b, &d.after, d.st, h.point(n))
	most := 0.0
	d.unsure[n] = false
	for i, f := range d.facings {
		t, err := h.askBy(quick, d.st, &at, f, d.sized, n, d.held)
		if err != nil {
			return 0, err
		}
		if near := t.near(); near && (by == fine || t.outcome.Failed) {
			if t, err = h.askBy(fine, d.st, &at, f, d.sized, n, d.held); err != nil {
				return 0, err
			}
		} else if near {
			d.unsure[n] = true
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

// each calls f for 0 to n−1, as many at a time as there are idle engines.
func (h *home) each(n int, f func(i int) error) error {
	var g errgroup.Group
	g.SetLimit(cap(h.w.sims))
	for i := range n {
		g.Go(func() error { return f(i) })
	}
	return g.Wait()
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
	side := func(sign float64) sampling.Chance {
		return d.assess(rule, func(n int) float64 {
			if d.unsure[n] {
				return sign * math.Abs(d.logs[n])
			}
			return d.logs[n]
		})
	}
	under, over := side(-1), side(1)
	return !under.Settled(rule) || !over.Settled(rule) || rule.Part(under.P) != rule.Part(over.P)
}

// assess reads the chance off the draws that count, log giving the log-utilisation of
// each.
func (d *drawn) assess(rule sampling.Rule, log func(n int) float64) sampling.Chance {
	var logs, w []float64
	for n := range d.logs {
		if x := log(n); d.weights[n] > 0 && !math.IsNaN(x) {
			logs, w = append(logs, min(max(x, -farEnough), farEnough)), append(w, d.weights[n])
		}
	}
	if len(logs) < 2 {
		return sampling.Chance{P: 0.5, Low: 0, High: 1, Draws: len(logs)}
	}
	return sampling.Assess(logs, w, rule.Confidence)
}

func (d *drawn) log(n int) float64 { return d.logs[n] }

// quantile is the utilisation that a share of the draws, by weight, keeps below.
func (d *drawn) quantile(share float64) float64 {
	var x, w []float64
	for i, l := range d.logs {
		if !math.IsNaN(l) && d.weights[i] > 0 {
			x, w = append(x, math.Exp(l)), append(w, d.weights[i])
		}
	}
	stat.SortWeighted(x, w)
	return min(stat.Quantile(share, stat.Empirical, x, w), mostUtilisation)
}

// governingHigh is the indicator that governs the worst draw.
func (d *drawn) governingHigh() indicator.ID {
	worst, by := math.Inf(-1), indicator.ID(0)
	for i, x := range d.logs {
		if x > worst {
			worst, by = x, d.by[i]
		}
	}
	return by
}
