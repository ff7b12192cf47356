package screen

import (
	"math"
	"slices"

	"wallsift/ingest"
	"wallsift/model/benefit"
	"wallsift/model/indicator"
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
	Excluded  bool  // by a gate, whatever the physics say
	HasGovern bool
	Governing indicator.ID // of the typical scenario
	// GoverningHigh governs in the adverse scenario; it may be another one.
	GoverningHigh indicator.ID
	Month         int8    // of the governing indicator, -1 when it has none
	Gates         uint64  // gates that acted, by index
	Do, Check     uint64  // steps needed, and steps to look at, by index
	Demand        float64 // of the governing indicator, typical scenario
	Limit         float64
	Low           float64 // governing utilisation, favourable scenario
	Typical       float64
	High          float64                  // adverse scenario
	Utilisation   [indicator.Count]float64 // typical scenario; -1 where it does not apply
	UBefore       float64                  // W/(m²·K)
	UAfter        float64                  // W/(m²·K)
	RAdded        float64                  // m²K/W
	Thickness     float64                  // m, of the sized layer
	Saved         float64                  // kWh/m²a
	Score         float64                  // energy saved per unit of risk
}

// Worker holds the scratch memory of one goroutine.
type Worker struct {
	e    *Engine
	ws   indicator.Workspace
	wall wall.Wall
	// own takes the cases at hand that the memo has no room for: the wall as it
	// is, and the wall with the strategy.
	own [2]heatCase
}

// NewWorker returns a Worker for one goroutine.
func (e *Engine) NewWorker() *Worker { return &Worker{e: e} }

// Judge appends the building's judgement under every strategy to out, in the
// order of rank within the building.
func (w *Worker) Judge(b *ingest.Building, out []Judgement) []Judgement {
	first := len(out)
	for i := range w.e.strategies {
		out = append(out, w.judge(b, uint8(i)))
	}
	slices.SortFunc(out[first:], func(a, b Judgement) int {
		if c := a.key().compare(b.key()); c != 0 {
			return c
		}
		return int(a.Strategy) - int(b.Strategy)
	})
	return out
}

func (w *Worker) judge(b *ingest.Building, index uint8) Judgement {
	e, st := w.e, &w.e.strategies[index]
	j := Judgement{Strategy: index, Month: -1, Thickness: st.Thickness.Typical}
	z := e.zones[e.zoneIndex[b.Zone]]
	z.fill(e.cfg)

	now := facts{cat: b.Cat, num: &b.Num}
	hold, survey := e.gateEffects(st, &now, &j)
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
	j.Verdict = j.verdict(hold, survey)
	j.Margin = grade(j.High, e.cfg.Rank.MarginSteps)
	j.Score = benefit.PerRisk(j.Saved, j.High)
	return j
}

// gateEffects records the gates that act and returns whether any of them holds
// the strategy or asks for a survey.
func (e *Engine) gateEffects(st *strategy, f *facts, j *Judgement) (hold, survey bool) {
	for i := range e.gates {
		if st.gates&(1<<i) == 0 || !allHold(e.gates[i].when, f) {
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
		own[s] = w.compute(z, k, s)
	}
	w.e.memo.put(k, own)
	return own
}

// compute runs one scenario. A wall with more layers or slices than the model
// holds (a configuration mistake) is answered with the worst utilisation, never
// with a good one.
func (w *Worker) compute(z *zone, k *caseKey, s scenario) indicator.Heat {
	ok := w.e.buildWall(&w.wall, k, s)
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
		worst := indicator.Value{Applies: true, Utilisation: indicator.MaxUtilisation, Month: -1}
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
		j.HasGovern, j.Governing, j.Month, j.Demand, j.Limit = true, id, v.Month, v.Demand, v.Limit
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
