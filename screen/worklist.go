package screen

import (
	"cmp"
	"math/bits"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
)

// placed is a line with its place in the order of work.
type placed struct {
	Work
	stage int // order
	turn  int // within the stage: steps before layers
}

// Stages lists the stages of work in order.
func (e *Engine) Stages() []config.Stage { return e.stages }

// ForWork returns the judgement whose work is listed: the best in order of rank
// that no gate excludes, or the first where all are excluded. list must not be
// empty.
func ForWork(list []Judgement) *Judgement {
	return &list[max(0, slices.IndexFunc(list, func(j Judgement) bool { return !j.Excluded }))]
}

// WorkList lists the work that a judgement asks for in the order it is done on
// site. Every step of Judgement.Do and Check has exactly one line, and so has
// every gate that acted. A step that builds a layer shares its line with it. The
// layers follow the wall outwards or inwards from the masonry even where the
// stages table would have it otherwise. What is not suited, or
// kept as a warning, is not built: its layers are left out, and of its steps only
// repairs are to be done.
//
// s is what a survey of the building is worth, nil where that is not asked. A fact
// that could change the choice must be found out first, and what could be built
// waits for all that is to be found out.
func (e *Engine) WorkList(b *ingest.Building, j *Judgement, s *Survey) (Readiness, []Work) {
	l := lister{e: e, j: j, first: e.stages[0], stopped: j.Verdict >= WarningOnly, gates: j.Gates}
	if l.stopped {
		gates := l.take(func(g *gate) bool { return g.Effect == config.EffectExclude })
		l.before(-2, Work{Action: Stop, Gates: gates, Because: gateFacts(gates)})
	} else {
		st := &e.strategies[j.Strategy]
		l.layers = e.builtLayers(st, e.repaired(st, b, &Judgement{}).Cat[ingest.OuterFinish], j.Thickness)
		if e.inDoubt(j) || s != nil && s.Changes() {
			l.before(-1, Work{Action: Investigate, Doubt: true})
		}
		if j.Unlikely {
			l.before(-1, Work{Action: Investigate, Unlikely: true})
		}
	}
	for i := range e.steps {
		if bit := uint64(1) << i; (j.Do|j.Check)&bit != 0 {
			l.step(i, j.Do&bit != 0)
		}
	}
	l.gatesLeft()
	l.lines = append(l.lines, l.layers...)
	if j.Verdict == SurveyFirst || slices.ContainsFunc(l.lines, func(w placed) bool { return w.Action == Investigate }) {
		for i := range l.lines {
			if w := &l.lines[i]; w.Action == Do && (w.Step == nil || !w.Stage.Repair) {
				w.Action = Afterwards
			}
		}
	}
	ready := e.Readiness(j, s)
	if ready == StartNow {
		l.before(-2, Work{Action: Clear})
	}
	slices.SortStableFunc(l.lines, func(a, b placed) int {
		return cmp.Or(cmp.Compare(a.stage, b.stage), cmp.Compare(a.turn, b.turn))
	})
	out := make([]Work, len(l.lines))
	for i := range l.lines {
		out[i] = l.lines[i].Work
	}
	return ready, out
}

// lister gathers the lines of one work list.
type lister struct {
	e       *Engine
	j       *Judgement
	first   config.Stage
	stopped bool   // the strategy is not to be built
	gates   uint64 // that have no line yet
	lines   []placed
	layers  []placed
}

// before adds a line to the first stage.
func (l *lister) before(turn int, w Work) {
	w.Stage = l.first
	l.add(turn, w)
}

func (l *lister) add(turn int, w Work) {
	l.lines = append(l.lines, placed{Work: w, stage: w.Stage.Order, turn: turn})
}

// take hands out the gates that are wanted and have no line yet.
func (l *lister) take(want func(*gate) bool) (out []config.Gate) {
	for rest := l.gates; rest != 0; rest &= rest - 1 {
		i := bits.TrailingZeros64(rest)
		if want(&l.e.gates[i]) {
			l.gates &^= 1 << i
			out = append(out, l.e.gates[i].Gate)
		}
	}
	return out
}

// step adds the line of step i, or joins it to that of the layer it builds.
func (l *lister) step(i int, do bool) {
	s := &l.e.steps[i]
	w := Work{Stage: s.stage, Action: Do, Step: &s.Step, Because: s.When}
	w.Gates = l.take(func(g *gate) bool { return g.Step == s.ID })
	asks := slices.ContainsFunc(w.Gates, func(g config.Gate) bool { return g.Effect == config.EffectSurvey })
	if !do {
		w.Because = s.Check
	}
	switch {
	case l.stopped && !s.stage.Repair && len(s.When) > 0: // what only finds out helps all the same
		w.Action = NotNow
	case !do || asks:
		w.Action = Investigate
	}
	if w.Action == Do {
		for k := range l.layers {
			if layer := &l.layers[k].Work; layer.Step == nil && layer.Layer.Material == s.Builds {
				layer.Step, layer.Because, layer.Gates = w.Step, w.Because, w.Gates
				return
			}
		}
	}
	l.add(i, w)
}

// gatesLeft gives a line to every gate that no step answers: a hold asks for the
// step it names, all else must be cleared up before any work.
func (l *lister) gatesLeft() {
	for i := range l.e.gates {
		g := l.e.gates[i].Gate
		if l.gates&(1<<i) == 0 {
			continue
		}
		w, turn := Work{Stage: l.first, Action: Investigate, Gates: []config.Gate{g}, Because: g.When}, i
		if g.Effect == config.EffectHold { // the configuration is checked: its step is there
			turn = slices.IndexFunc(l.e.steps, func(s step) bool { return s.ID == g.Step })
			s := &l.e.steps[turn]
			w.Stage, w.Action, w.Step = s.stage, Do, &s.Step
		}
		if l.stopped && (w.Step == nil || !w.Stage.Repair) {
			w.Action = NotNow
		}
		l.add(turn, w)
	}
}

// inDoubt says whether survey first is, besides gates, owed to limits that may
// be exceeded.
func (e *Engine) inDoubt(j *Judgement) bool {
	switch {
	case j.Verdict != SurveyFirst:
		return false
	case j.Chance >= 0:
		return j.Failed || j.Chance > e.cfg.Chance.SuitedBelow || j.Typical > 1 && !j.Unlikely
	}
	return j.Failed || j.High > 1
}

// Readiness says what stands between a building and the start of the work that a
// judgement asks for; s is as in WorkList.
func (e *Engine) Readiness(j *Judgement, s *Survey) Readiness {
	repair := j.Hold
	for i := range e.steps {
		step := &e.steps[i]
		repair = repair || j.Do&(1<<i) != 0 && len(step.When) > 0 && step.stage.Repair
	}
	switch {
	case j.Verdict >= WarningOnly:
		return NoMeasurePasses
	case j.Survey || j.Check&^j.Do != 0 || j.Unlikely || e.inDoubt(j) || s != nil && s.Changes():
		return InvestigateFirst
	case repair:
		return RepairFirst
	}
	return StartNow
}

// builtLayers lists a strategy's layers in the order they are built: away from
// the masonry on both sides.
func (e *Engine) builtLayers(st *strategy, outerFinish uint8, sized float64) []placed {
	var out []placed
	latest := 0
	add := func(stage config.Stage, l *BuiltLayer) {
		latest = max(latest, stage.Order)
		out = append(out, placed{Work: Work{Stage: stage, Action: Do, Layer: l}, stage: latest, turn: maxRules + len(out)})
	}
	if st.treats(outerFinish) {
		add(st.faceIn, &BuiltLayer{Material: config.FaceTreatment, Label: st.Face.Label, Side: config.SideExterior, Index: 1, Of: 1})
	}
	layer := func(list []config.StrategyLayer, stages []config.Stage, i int, side string) {
		c := &list[i]
		l := &BuiltLayer{Material: c.Material, Label: e.materials[c.Material].Label, Side: side, Index: i + 1, Of: len(list), Thickness: c.Thickness, Sized: c.Sized, Drained: c.Drained, Air: e.materials[c.Material].Kind == "air", BridgeShare: c.BridgeShare}
		if c.Sized {
			l.Thickness = sized
		}
		if c.Bridge != "" {
			l.Bridge = e.materials[c.Bridge].Label
		}
		add(stages[i], l)
	}
	for i := len(st.Outside) - 1; i >= 0; i-- {
		layer(st.Outside, st.outsideIn, i, config.SideExterior)
	}
	latest = 0
	for i := range st.Inside {
		layer(st.Inside, st.insideIn, i, config.SideInterior)
	}
	return out
}

func gateFacts(gates []config.Gate) (out []config.Condition) {
	for _, g := range gates {
		out = append(out, g.When...)
	}
	return out
}
