package screen

import (
	"fmt"
	"math"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/benefit"
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
	NotSuited
	NumVerdicts
)

// String returns the words that tables print.
func (v Verdict) String() string {
	return [NumVerdicts]string{"suited", "suited after repairs", "survey first", "not suited"}[v]
}

// Judgement is what is known about one building under one strategy. It holds
// no pointer, so that it can be spilled to disk as it is.
type Judgement struct {
	Strategy  uint8 // index into Engine.Strategies
	Verdict   Verdict
	Margin    uint8 // grade of the adverse utilisation, 0 = widest margin
	Warned    bool  // the strategy is kept as a warning, not as advice
	Excluded  bool  // by a gate, whatever the physics say
	Bare      bool  // the strategy adds no layer: repairs alone
	HasGovern bool
	Hold      bool // a gate holds it until repairs are done
	Survey    bool // a gate asks for a fact
	Failed    bool // the engine did not converge
	Gathering bool // the wall does not repeat its year within the years allowed
	Tier      indicator.Tier
	Governing indicator.ID // of the typical scenario
	// GoverningHigh governs in the adverse scenario; it may be another one.
	GoverningHigh indicator.ID
	Month         int8    // of the governing indicator, -1 when it has none
	Day           int16   // 0–364 likewise, -1 when only the month is known
	Gates         uint64  // gates that acted, by index
	Do, Check     uint64  // steps needed, and steps to look at, by index
	Demand        float64 // of the governing indicator, typical scenario
	Limit         float64
	Low           float64 // governing utilisation, favourable scenario; sampled, see Chance
	Typical       float64
	High          float64                  // likewise, adverse scenario
	Utilisation   [indicator.Count]float64 // typical scenario; -1 where it does not apply
	UBefore       float64                  // W/(m²·K)
	UAfter        float64                  // W/(m²·K)
	RAdded        float64                  // m²K/W
	Thickness     float64                  // m, of the sized layer
	Saved         float64                  // kWh/m²a
	Score         float64                  // energy saved per unit of risk
	RainOnWall    float64                  // kg/m²a of the weather the transient tier ran
	Course        [2][simulate.Weeks]uint8 // weekly humidity in half percent: cold face, timber
	// Chance that a limit is exceeded, over what is not known, with the half
	// width of its 95 % interval; negative where it was not sampled. Low and High are
	// then the tenth and ninetieth percentile of the governing utilisation.
	Chance, ChanceError float64
	// Allowance is how much the sized layer can take in the typical case.
	Allowance Allowance
	// Drier is sought for the best strategy of a building, and by Explain.
	Drier DrierFace
	// Anchor holds the pressed utilisations of the typical case, by output of the
	// response surfaces.
	Anchor [numOutputs]float32
}

// Allowance is the insulation a wall can take under a strategy before the first
// limit is reached, other things as judged.
type Allowance struct {
	Known     bool
	Thickness float64      // m of the sized layer, 0 when even the thinnest is too much
	R         float64      // m²K/W that thickness adds
	Full      bool         // the strategy's whole range is allowed
	By        indicator.ID // the limit reached first, unless Full
}

// Fact is something the inventory does not know, with what knowing it is worth.
type Fact struct {
	Field int16   // ingest.Category, or ingest.Number after ingest.NumCategories; -1 for none
	Gain  float32 // chance of a wrong choice that knowing it takes away, 0–1
}

// MostFacts is how many facts are kept for a building, best first.
const MostFacts = 4

// Survey is what a visit to a building would be worth.
type Survey struct {
	Wrong float32 // chance that the best choice by what is known is wrong; negative when not sampled
	Facts [MostFacts]Fact
}

// Name returns the fact's name in the inventory, without unit.
func (f Fact) Name() string {
	switch {
	case f.Field < 0:
		return ""
	case f.Field < int16(ingest.NumCategories):
		return ingest.Category(f.Field).Name()
	}
	return ingest.Number(f.Field - int16(ingest.NumCategories)).Name()
}

// notSampled stands for a chance that was not sampled: not a NaN, so that equal
// judgements compare equal.
const notSampled = -1

// noSurvey is a survey that was not sampled.
func noSurvey() Survey {
	s := Survey{Wrong: notSampled}
	for i := range s.Facts {
		s.Facts[i].Field = -1
	}
	return s
}

// Worker holds the scratch memory of one goroutine.
type Worker struct {
	e    *Engine
	ws   indicator.Workspace
	wall wall.Wall
	// own takes the cases at hand that the memo has no room for: the wall as it
	// is, and the wall with the strategy.
	own [2]heatCase
	sim *simulate.Worker
	err error // the first case that could not be set up
}

// NewWorker returns a Worker for one goroutine.
func (e *Engine) NewWorker() *Worker { return &Worker{e: e, sim: simulate.NewWorker(&e.compiled)} }

// Err returns the first failure to set up a case: a defect of the configuration.
func (w *Worker) Err() error { return w.err }

// Judge appends the building's judgement under every strategy to out, in the
// order of rank within the building.
func (w *Worker) Judge(b *ingest.Building, out []Judgement) []Judgement {
	first := len(out)
	for i := range w.e.strategies {
		out = append(out, w.judge(b, uint8(i)))
	}
	byRank(out[first:])
	return out
}

func (w *Worker) judge(b *ingest.Building, index uint8) Judgement {
	e, st := w.e, &w.e.strategies[index]
	j := Judgement{Strategy: index, Warned: st.Warning != "", Bare: len(st.Inside)+len(st.Outside) == 0, Month: -1, Day: -1, Chance: notSampled, ChanceError: notSampled, Thickness: st.Thickness.Typical}
	z := e.zones[e.zoneIndex[b.Zone]]
	z.fill(e.cfg)

	now := facts{cat: b.Cat, num: &b.Num}
	j.Hold, j.Survey = e.gateEffects(st, &now, &j)
	after := e.repaired(st, &now, &j)

	bare := w.key(b, &now, bareWall)
	before := w.heat(z, &bare, &w.own[0])
	key := w.key(b, &after, index)
	heat := w.heat(z, &key, &w.own[1])
	var results [scenarios]indicator.Result
	for s := range scenarios {
		results[s] = w.rain(z, &key, &after, s, &heat[s], st)
	}
	j.UBefore, j.UAfter = before[typical].U, heat[typical].U
	j.RAdded = heat[typical].R - before[typical].R
	j.Saved = benefit.Saved(j.UBefore, j.UAfter, z.degreeHours)
	j.settle(&results)
	j.Verdict = j.verdict(j.Hold, j.Survey)
	if e.wantsHourly(&j) {
		if err := w.judgeHourly(b, st, &now, &after, &j); err != nil && w.err == nil {
			w.err = fmt.Errorf("building %s, strategy %s: %w", b.ID, st.ID, err)
		}
	}
	if j.Tier == indicator.Steady {
		j.Allowance = w.steadyAllowance(z, key, &after, st, &j)
	}
	j.Margin = grade(j.High, e.cfg.Rank.MarginSteps)
	j.settleScore()
	return j
}

func (j *Judgement) settleScore() { j.Score = benefit.PerRisk(j.Saved, j.High) }

// gateEffects records the gates that act and returns whether any of them holds
// the strategy or asks for a survey.
func (e *Engine) gateEffects(st *strategy, f *facts, j *Judgement) (hold, survey bool) {
	for i := range e.gates {
		g := &e.gates[i]
		if st.gates&(1<<i) == 0 || g.Tier != "" && g.Tier != j.Tier.String() || !allHold(g.when, f) {
			continue
		}
		j.Gates |= 1 << i
		switch e.gates[i].Effect {
		case "exclude":
			j.Excluded = true
		case "hold":
			hold = true
		case "survey":
			survey = true
		}
	}
	return hold, survey
}

// repaired records the steps and returns the facts once they are done. A step
// that is to be looked at counts as done too: what it finds is put right.
func (e *Engine) repaired(st *strategy, f *facts, j *Judgement) facts {
	after := *f
	for i := range e.steps {
		if st.steps&(1<<i) == 0 {
			continue
		}
		do, check := e.steps[i].needs(f)
		if do {
			j.Do |= 1 << i
		}
		if check {
			j.Check |= 1 << i
		}
		if do || check {
			for _, s := range e.steps[i].sets {
				after.cat[s.field] = s.level
			}
		}
	}
	return after
}

func (w *Worker) key(b *ingest.Building, f *facts, strategy uint8) caseKey {
	return caseKey{
		thickness: uint32(math.Round(b.Num[ingest.WallThickness] * 1e6)),
		zone:      w.e.zoneIndex[b.Zone],
		stone:     w.e.stoneIndex[b.Stone],
		strategy:  strategy,
		outer:     f.cat[ingest.OuterFinish],
		inner:     f.cat[ingest.InnerFinish],
		depth:     timberDepth(f.cat[ingest.EmbeddedTimber]),
		humidity:  f.cat[ingest.HumidityClass],
	}
}

// heat returns the case's heat and vapour part under all scenarios, from the
// memo where it has it, else computed into own.
func (w *Worker) heat(z *zone, k *caseKey, own *heatCase) *heatCase {
	if c := w.e.memo.get(k); c != nil {
		return c
	}
	for s := range scenarios {
		if k.sized == 0 || s == typical { // no more is asked of an allowance
			own[s] = w.compute(z, k, s)
		}
	}
	w.e.memo.put(k, own)
	return own
}

// compute runs one scenario. A wall with more layers or slices than the model
// holds (a configuration mistake) is answered with the worst utilisation, never
// with a good one.
func (w *Worker) compute(z *zone, k *caseKey, s scenario) indicator.Heat {
	ok := w.e.scenarioWall(&w.wall, k, s)
	if k.strategy == bareWall { // only its transmittance is asked for
		return indicator.Heat{U: w.wall.U(w.e.limits.Rsi, w.e.limits.Rse), R: w.wall.Resistance()}
	}
	in := indicator.HeatInput{
		Wall:        &w.wall,
		Months:      &z.months[w.e.indoor(k.humidity, s)],
		TimberDepth: w.e.depthAt(k.depth, s),
		Exterior:    k.strategy != bareWall && w.e.strategies[k.strategy].Side == "exterior",
		Limits:      &w.e.limits,
	}
	h, fits := indicator.EvaluateHeat(&in, &w.ws)
	if !ok || !fits {
		worst := indicator.Value{Applies: true, Utilisation: indicator.MaxUtilisation, Month: -1, Day: -1}
		h.Surface, h.Condensate, h.Timber = worst, worst, worst
	}
	return h
}

func (w *Worker) rain(z *zone, k *caseKey, f *facts, s scenario, heat *indicator.Heat, st *strategy) indicator.Result {
	timber := ingest.EmbeddedTimber.Levels()[f.cat[ingest.EmbeddedTimber]]
	stone := w.e.stones[k.stone]
	aw := f.num[ingest.WaterAbsorption]
	if math.IsNaN(aw) {
		aw = s.rising(stone.Aw)
	}
	return indicator.Judge(&indicator.RainInput{
		Heat:        heat,
		Face:        w.e.face(k, f.num[ingest.WaterAbsorption], s),
		Masonry:     float64(k.thickness) * 1e-6,
		MasonryAw:   aw,
		MasonryWf:   stone.Wf.Typical,
		Rain:        w.e.wallRain(z, f, s),
		FrostCycles: z.frostCycles(heat.Warming),
		Timber:      timber != "none" && (timber != "unknown" || s != favourable),
		Which:       st.which,
		Limits:      &w.e.limits,
	})
}

// settle takes the governing utilisation of each scenario. The corners need
// not be ordered for every wall (more conductive stone can warm an interface),
// so low and high are the least and the most of the three.
func (j *Judgement) settle(results *[scenarios]indicator.Result) {
	var u [scenarios]float64
	for s := range results {
		if id, ok := results[s].Governing(); ok {
			u[s] = results[s][id].Utilisation
		}
	}
	j.Typical, j.Low, j.High = u[typical], min(u[0], u[1], u[2]), max(u[0], u[1], u[2])
	for id, v := range results[typical] {
		j.Utilisation[id] = -1
		if v.Applies {
			j.Utilisation[id] = v.Utilisation
		}
	}
	j.GoverningHigh, _ = results[adverse].Governing()
	if id, ok := results[typical].Governing(); ok {
		v := results[typical][id]
		j.HasGovern, j.Governing, j.Month, j.Day, j.Demand, j.Limit = true, id, v.Month, v.Day, v.Demand, v.Limit
	}
}

// verdict applies the rule: a gate that excludes, or limits exceeded even in
// the favourable scenario, mean not suited; an open question in a gate, or a
// limit that only some scenarios keep, means survey first; repairs that a gate
// asks for hold the rest.
func (j *Judgement) verdict(hold, survey bool) Verdict {
	switch {
	case j.Excluded || j.Low > 1:
		return NotSuited
	case survey || j.High > 1:
		return SurveyFirst
	case hold:
		return SuitedAfterRepairs
	}
	return Suited
}

// chanceVerdict applies the same rule to the chance that a limit is exceeded.
func (j *Judgement) chanceVerdict(c *config.Chance) Verdict {
	switch {
	case j.Excluded || j.Chance > c.NotSuitedAbove:
		return NotSuited
	case j.Survey || j.Failed || j.Chance > c.SuitedBelow || j.Typical > 1:
		// The typical case is the engine's own: no chance makes it keep a limit.
		return SurveyFirst
	case j.Hold:
		return SuitedAfterRepairs
	}
	return Suited
}

// grade counts the margin steps that a utilisation exceeds.
func grade(u float64, steps []float64) uint8 {
	n := uint8(0)
	for _, s := range steps {
		if u > s {
			n++
		}
	}
	return n
}
