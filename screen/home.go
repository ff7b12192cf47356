package screen

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// home is one building under judgement by the hourly engine.
type home struct {
	w *Worker
	e *Engine
	b *ingest.Building
	z *zone
	// made holds the engine runs. Outcomes are kept apart from how they are judged, so
	// that a changed limit or threshold asks for no new run. Several goroutines may ask
	// at once.
	made  map[simulate.Key]*made
	known int // of them, from the record of the home
	mu    sync.Mutex
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
	h := &home{w: w, e: w.e, b: b, z: w.e.zoneOf[b.Zone], open: map[uint8]*drawn{}}
	h.z.fill(w.e.cfg)
	h.remember()
	return h
}

// trial is what a wall comes to under one strategy, world and thickness, at the
// facing that governs.
type trial struct {
	result  indicator.Result
	outcome *simulate.Outcome
	facing  float64
	facings []float64 // that came near to governing, the governing one first
	sized   float64   // m
	held    bool      // back at the joists
	world   world
}

// governing returns the largest utilisation and its indicator, 0 where none applies.
func (t *trial) governing() (float64, indicator.ID) {
	id, _ := t.result.Governing()
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
func (h *home) try(at *world, sized float64, held bool) (worst trial, err error) {
	front := h.z.front(at.facings)
	run := func(by numerics, facings []float64) ([]trial, error) {
		out := make([]trial, len(facings))
		return out, h.each(len(facings), func(i int) (err error) {
			out[i], err = h.askBy(by, at, facings[i], sized, held)
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
	worst = slices.MaxFunc(tried, func(a, b trial) int { return cmp.Compare(a.utilisation(), b.utilisation()) })
	worst.facings = append([]float64{worst.facing}, slices.DeleteFunc(follow, func(f float64) bool { return f == worst.facing })...)
	return worst, err
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
// near to a limit.
func (h *home) ask(at *world, facing, sized float64, held bool) (trial, error) {
	t, err := h.askBy(quick, at, facing, sized, held)
	if err == nil && t.near() {
		return h.askBy(fine, at, facing, sized, held)
	}
	return t, err
}

func (h *home) askBy(by numerics, at *world, facing, sized float64, held bool) (t trial, err error) {
	t = trial{facing: facing, sized: sized, held: held, world: *at}
	if t.outcome, err = h.run(by, at, facing, sized); err != nil {
		return t, err
	}
	// Frost counts what the strategy adds; where it has no damaging cycle there is
	// nothing to take off.
	before := t.outcome
	if !at.under.bare() && at.under.which.Has(indicator.Frost) && t.outcome.Frost.Cycles > 0 {
		if before, err = h.asItIs(by, at, facing); err != nil {
			return t, err
		}
	}
	t.result = t.outcome.Judge(h.e.question(at, before))
	if held {
		// The strip at the joists has no lining: its timber fares as in the wall
		// without one, once the repairs are done.
		bare := *at
		bare.under = &asIs
		o, err := h.run(by, &bare, facing, 0)
		if err != nil {
			return t, err
		}
		strip := o.Judge(h.e.question(at, nil))
		for _, id := range timberMeasures {
			t.result[id] = strip[id]
		}
	}
	return t, nil
}

// job lays out the run of a world. A quick draw starts from where the typical world
// settles, a thickness between from where the usual one does, and a fine run from where
// the quick one does.
func (h *home) job(by numerics, at *world, facing, sized float64) *job {
	j, st, draw := &job{Case: h.e.caseOf(at, sized, facing)}, at.under, at.point.draw != nil
	j.Settings = h.e.numerics(by, draw)
	switch {
	case by == fine:
		j.from = h.job(quick, at, facing, sized)
	case draw:
		typical := h.e.worldOf(at.of, st, point{})
		if st == &asIs {
			facing = h.asFacing // draws of the wall as it is look their own ways
		}
		j.from = h.job(quick, &typical, facing, sized)
	case sized != st.Thickness.Typical && sized != st.Thickness.Min:
		j.from = h.job(quick, at, facing, st.Thickness.Typical)
	}
	return j
}

// asItIs runs the wall as it is, at the point of another world.
func (h *home) asItIs(by numerics, with *world, facing float64) (*simulate.Outcome, error) {
	at := h.e.worldOf(h.b, &asIs, with.point)
	return h.run(by, &at, facing, 0)
}

// point is that of draw n, or of the typical world for -1.
func (h *home) point(n int) point {
	if n < 0 {
		return point{}
	}
	return point{draw: h.e.draws[n]}
}

// judge gives every strategy that wants it the engine's answer: first the typical
// case, then the draws, then what they say of surveys and of a drier face.
func (h *home) judge(a *Answer) error {
	if err := h.judgePast(); err != nil {
		return err
	}
	list := a.Judgements
	for _, step := range []func(*Judgement) error{h.typical, h.sample} {
		for i := range list {
			if err := step(&list[i]); err != nil {
				return fmt.Errorf("strategy %s: %w", h.e.strategies[list[i].Strategy].ID, err)
			}
		}
	}
	byRank(list)
	a.Past = h.past
	if len(h.e.draws) > 0 {
		a.Survey = h.survey(list)
	}
	return h.drier(&list[0])
}

// typical gives a judgement that wants it the engine's answer for the typical case: at
// the strategy's usual thickness, or at its thinnest where the usual exceeds a limit;
// held back at the joists where their ends alone exceed one.
func (h *home) typical(j *Judgement) error {
	e, st := h.e, &h.e.strategies[j.Strategy]
	if !e.wantsHourly(j) {
		return nil
	}
	j.Tier = indicator.Transient
	e.gateEffects(st, h.b, j)
	after := e.repaired(st, h.b, j)
	at := e.worldOf(after, st, point{})
	usual, err := h.try(&at, st.Thickness.Typical, false)
	t := usual
	if err == nil && t.over() && st.Thickness.Steps() > 1 {
		t, err = h.try(&at, st.Thickness.Min, false)
	}
	if err == nil && t.over() && h.timberAlone(st, &t) {
		var back trial
		if back, err = h.try(&at, st.Thickness.Typical, true); !back.over() {
			t = back
		}
	}
	if err != nil {
		return err
	}
	j.Thickness, j.HeldBack, j.Facing, j.Facings = t.sized, t.held, t.facing, uint8(len(t.world.facings))
	j.take(&t.result)
	j.MassLoss = t.outcome.MassLoss(t.world.Timber)
	j.Failed, j.Gathering, j.Unlikely = t.outcome.Failed, t.outcome.Gathering, h.past.Typical
	j.Course = [2][simulate.Weeks]uint8{t.outcome.Course[simulate.PlaceCold], t.outcome.Course[t.world.timberPlace()]}
	j.RainOnWall = t.outcome.Rain
	h.w.saving(h.b, &at, j)
	j.Allowance = Allowance{} // that of the steady tier
	if j.Warned {
		return nil // never advice: the typical case says enough of it
	}
	// Of a lining held back, and where the typical case is not believed, that of the
	// whole lining in the typical case says nothing.
	if !j.HeldBack && !j.Unlikely {
		if j.Allowance, err = h.allowance(j, usual); err != nil {
			return err
		}
	}
	h.open[j.Strategy] = &drawn{typical: t, facings: t.facings, governs: make([]int, len(t.facings))}
	return nil
}

// timberAlone says whether only timber exceeds a limit, and only at joist ends,
// which a strip left bare would spare.
func (h *home) timberAlone(st *strategy, t *trial) bool {
	if st.HoldBack == nil || t.world.Timber != (depths{depthJoists: true}) {
		return false
	}
	rest := *t
	for _, id := range timberMeasures {
		rest.result[id] = indicator.Finding{}
	}
	return !rest.over()
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
