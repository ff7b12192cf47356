package screen

import (
	"fmt"
	"math"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
	"wallsift/model/wall"
)

// Verdict is the answer for one building and strategy.
type Verdict uint8

// Verdicts, best first.
const (
	Suited Verdict = iota
	SuitedAfterRepairs
	SurveyFirst
	WarningOnly // shown as a warning; never advice, whatever the physics say
	NotSuited
	NumVerdicts
)

// String returns the words that tables print.
func (v Verdict) String() string {
	return [NumVerdicts]string{"suited", "suited after repairs", "survey first", "warning only", "not suited"}[v]
}

// Judgement is what is known about one building under one strategy. It holds
// no pointer, so that it can be spilled to disk as it is.
type Judgement struct {
	Strategy  uint8 // index into Engine.Strategies
	Verdict   Verdict
	Margin    uint8 // grade of the high utilisation, 0 = widest margin
	Warned    bool  // the strategy is kept as a warning, not as advice
	Excluded  bool  // by a gate, whatever the physics say
	Bare      bool  // the strategy adds no layer: repairs alone
	HasGovern bool
	Hold      bool // a gate holds it until repairs are done
	Survey    bool // a gate asks for a fact
	Failed    bool // the engine did not converge
	Gathering bool // the wall gains water from year to year
	HeldBack  bool // the lining stops short of the joists, which alone would exceed a limit
	Near      bool // the chance may lie on the other side of a threshold
	Unlikely  bool // the typical case would have ruined the wall as it stands, so it is not believed
	Tier      indicator.Tier
	Governing indicator.ID // in the typical case
	// GoverningHigh governs at High; it may be another one.
	GoverningHigh indicator.ID
	Month         int8    // of the governing indicator, -1 when it has none
	Day           int16   // 0–364 likewise, -1 when only the month is known
	Wall          uint16  // of a home of several: the one that governs, index into Row.Walls
	Facing        float64 // degrees from north of the facing that governs
	Facings       uint8   // how many were judged
	Gates         uint64  // gates that acted, by index
	Do, Check     uint64  // steps needed, and steps to look at, by index
	Demand        float64 // of the governing indicator, typical case
	Limit         float64
	Low           float64                  // governing utilisation: tenth percentile of the draws, or favourable corner
	Typical       float64                  // of the typical case
	High          float64                  // likewise, ninetieth percentile or adverse corner
	Utilisation   [indicator.Count]float64 // typical case; NoLimit where it does not apply, NotJudged without data
	MassLoss      float64                  // share of its dry mass that timber loses in the typical case, 0–1
	UBefore       float64                  // W/(m²·K)
	UAfter        float64                  // W/(m²·K)
	RAdded        float64                  // m²K/W
	Thickness     float64                  // m, of the sized layer
	Saved         float64                  // kWh/m²a
	Score         float64                  // energy saved per unit of risk
	RainOnWall    float64                  // kg/m²a that stay on the face in the judged year
	Course        [2][simulate.Weeks]uint8 // weekly humidity in half percent: cold face, timber
	// Chance that a limit is exceeded over what is not known, and its bounds;
	// negative where it was not drawn.
	Chance, ChanceLow, ChanceHigh float64
	Draws                         int32
	// Allowance is how much the sized layer can take in the typical case.
	Allowance Allowance
	// Drier is sought for the best strategy of a building.
	Drier DrierFace
}

// What stands in Utilisation where there is no number.
const (
	NoLimit   = -1 // the indicator does not apply
	NotJudged = -2 // it does, but a figure is missing
)

// notDrawn stands for a chance that was not drawn: not a NaN, so that equal
// judgements compare equal.
const notDrawn = -1

// Worker holds the scratch memory of one goroutine.
type Worker struct {
	e    *Engine
	ws   indicator.Workspace
	wall wall.Wall
	sims chan *simulate.Worker // idle ones
}

// NewWorker returns a Worker for one goroutine, which does all its work there.
func (e *Engine) NewWorker() *Worker { return e.newWorker(1) }

// newWorker returns a Worker that runs up to n cases of a home at a time.
func (e *Engine) newWorker(n int) *Worker {
	w := &Worker{e: e, sims: make(chan *simulate.Worker, n)}
	for range n {
		w.sims <- simulate.NewWorker(&e.compiled)
	}
	return w
}

// Answer is what a building comes to.
type Answer struct {
	Judgements []Judgement // in the order of rank within the building
	Survey     Survey
	Past       Past
	Cases      int // engine runs asked for
}

// Steady returns the building's judgements by the steady tier, one for every
// strategy, in the order of rank within the building.
func (w *Worker) Steady(b *ingest.Building) []Judgement {
	out := make([]Judgement, len(w.e.strategies))
	for i := range out {
		out[i] = w.steady(b, uint8(i))
	}
	byRank(out)
	return out
}

// Judge gives the building's answer: a function of its own row and the
// configuration alone.
func (w *Worker) Judge(b *ingest.Building) (Answer, error) {
	a := Answer{Judgements: w.Steady(b), Survey: Survey{Wrong: notDrawn}}
	if !slices.ContainsFunc(a.Judgements, func(j Judgement) bool { return w.e.wantsHourly(&j) }) {
		return a, nil
	}
	h := w.newHome(b)
	err := h.judge(&a)
	if err == nil {
		a.Cases, err = h.close()
	}
	if err != nil {
		return a, fmt.Errorf("building %s: %w", b.ID, err)
	}
	return a, nil
}

// wantsHourly says whether the transient tier is to judge what the steady one
// has: always where it is asked for, in tier auto where the steady tier leaves
// doubt. What a gate excludes is settled without it.
func (e *Engine) wantsHourly(j *Judgement) bool {
	clear := j.Low > e.cfg.Engine.DoubtTo || j.High < e.cfg.Engine.DoubtFrom && j.Verdict != SurveyFirst
	tier := e.cfg.Run.Tier
	return !j.Excluded && (tier == config.TierTransient || tier == config.TierAuto && !clear)
}

func (w *Worker) steady(b *ingest.Building, index uint8) Judgement {
	e, st := w.e, &w.e.strategies[index]
	j := Judgement{Strategy: index, Warned: st.Warning != "", Bare: st.bare(), Month: -1, Day: -1, Facings: 1,
		Chance: notDrawn, ChanceLow: notDrawn, ChanceHigh: notDrawn, Thickness: st.Thickness.Typical}
	e.zoneOf[b.Zone].fill(e.cfg)
	e.gateEffects(st, b, &j)
	after := e.repaired(st, b, &j)
	found, usual, facing := w.corners(after, st, j.Thickness)
	j.Facing = facing
	j.take(&found[typical-favourable])
	for _, r := range found {
		if id, ok := r.Governing(); ok && r[id].Utilisation > j.High {
			j.High, j.GoverningHigh = r[id].Utilisation, id
		} else if ok {
			j.Low = min(j.Low, r[id].Utilisation)
		}
	}
	w.saving(b, &usual, &j)
	if j.Allowance = w.steadyAllowance(&usual, &j); j.High < j.Typical {
		j.High, j.GoverningHigh = j.Typical, j.Governing
	}
	e.decide(&j)
	return j
}

// saving gives the judgement its U-values and what they save at its thickness.
func (w *Worker) saving(b *ingest.Building, with *world, j *Judgement) {
	bare := w.e.worldOf(b, &asIs, point{})
	var rBefore, rAfter float64
	j.UBefore, rBefore = w.transmittance(&bare, 0)
	j.UAfter, rAfter = w.transmittance(with, j.Thickness)
	j.RAdded = rAfter - rBefore
	covered := 1.0
	if j.HeldBack {
		covered = 1 - with.under.HoldBack.Height/storeyHeight
	}
	j.Saved = covered * savedHeat(j.UBefore, j.UAfter, with.zone.degreeHours)
}

// savedHeat returns the conducted heat saved in kWh/m²a when the transmittance falls
// from before to after (W/(m²·K)) in a climate with the given heating degree-hours
// (K·h/a). Negative when the wall loses more than before.
func savedHeat(before, after, degreeHours float64) float64 {
	return (before - after) * degreeHours / 1000
}

// take gives the judgement the figures of the typical case.
func (j *Judgement) take(r *indicator.Result) {
	for id, v := range r {
		if j.Utilisation[id] = NoLimit; v.Applies {
			j.Utilisation[id] = v.Utilisation
		} else if v.NotJudged {
			j.Utilisation[id] = NotJudged
		}
	}
	j.HasGovern, j.Typical, j.Month, j.Day = false, 0, -1, -1
	if id, ok := r.Governing(); ok {
		v := &r[id]
		j.HasGovern, j.Governing, j.Typical, j.Month, j.Day, j.Demand, j.Limit = true, id, v.Utilisation, v.Month, v.Day, v.Demand, v.Limit
	}
	j.Low, j.High, j.GoverningHigh = j.Typical, j.Typical, j.Governing
}

// gateEffects records the gates that act and what they do.
func (e *Engine) gateEffects(st *strategy, b *ingest.Building, j *Judgement) {
	j.Gates, j.Excluded, j.Hold, j.Survey = 0, false, false, false
	for i := range e.gates {
		g := &e.gates[i]
		if !slices.Contains(st.Gates, g.ID) || g.Tier != "" && g.Tier != j.Tier.String() || !allHold(g.When, b) {
			continue
		}
		j.Gates |= 1 << i
		j.Excluded = j.Excluded || g.Effect == config.EffectExclude
		j.Hold = j.Hold || g.Effect == config.EffectHold
		j.Survey = j.Survey || g.Effect == config.EffectSurvey
	}
}

// repaired records the steps and returns the row once they are done. A step
// that is to be looked at counts as done too: what it finds is put right.
func (e *Engine) repaired(st *strategy, b *ingest.Building, j *Judgement) *ingest.Building {
	after := *b
	j.Do, j.Check = 0, 0
	for i := range e.steps {
		if !slices.Contains(st.Steps, e.steps[i].ID) {
			continue
		}
		do, check := needs(&e.steps[i], b)
		if do {
			j.Do |= 1 << i
		}
		if check {
			j.Check |= 1 << i
		}
		if do || check {
			for field, word := range e.steps[i].Sets {
				cat, _ := ingest.LookupCategory(field)
				after.Cat[cat], _ = cat.Level(word)
			}
		}
	}
	return &after
}

// decide gives a judgement its verdict and what ranks it. With draws the chance
// decides; without, low and high stand for it: a limit exceeded even at the
// favourable corner is exceeded for sure.
func (e *Engine) decide(j *Judgement) {
	c := &e.cfg.Chance
	over := j.Low > 1
	if j.Chance >= 0 {
		over = j.Chance > c.NotSuitedAbove
	}
	switch {
	case j.Excluded || over:
		j.Verdict = NotSuited
	case j.Warned:
		j.Verdict = WarningOnly
	case j.Survey || e.inDoubt(j):
		j.Verdict = SurveyFirst
	case j.Hold:
		j.Verdict = SuitedAfterRepairs
	default:
		j.Verdict = Suited
	}
	j.Near = j.Chance >= 0 && !j.Excluded && (j.ChanceLow < c.SuitedBelow && j.ChanceHigh > c.SuitedBelow || j.ChanceLow < c.NotSuitedAbove && j.ChanceHigh > c.NotSuitedAbove)
	j.Margin = 0
	for _, s := range e.cfg.Rank.MarginSteps {
		if j.High > s {
			j.Margin++
		}
	}
	j.Score = perRisk(j.Saved, j.High)
}

// perRisk returns the energy saved per unit of governing utilisation, 0 where one of
// them is no number. The floor keeps walls with next to no risk from dividing by
// nothing; below it, risk no longer tells walls apart. 0.1 is a choice of this tool.
func perRisk(saved, utilisation float64) float64 {
	const floor = 0.1
	score := saved / max(utilisation, floor)
	if math.IsNaN(score) {
		return 0
	}
	return score
}

// inDoubt says whether limits may be exceeded.
func (e *Engine) inDoubt(j *Judgement) bool {
	if j.Chance >= 0 {
		return j.Failed || j.Chance > e.cfg.Chance.SuitedBelow || j.Typical > 1 && !j.Unlikely
	}
	return j.Failed || j.High > 1
}
