package screen

import (
	"cmp"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
)

// Readiness says what stands between a building and the start of the work its
// strategy asks for.
type Readiness uint8

// Readinesses, best first.
const (
	StartNow         Readiness = iota // no repair and nothing to find out is listed
	RepairFirst                       // work of a repair stage comes first, or a gate holds
	InvestigateFirst                  // something must be found out first
	NoMeasurePasses                   // not even the best strategy is to be built
	NumReadiness
)

// String returns the words that tables print.
func (r Readiness) String() string {
	return [NumReadiness]string{"start now", "repair first", "investigate first", "no measure passes"}[r]
}

// Action says what a line of a work list asks for.
type Action uint8

// Actions.
const (
	Do          Action = iota
	Investigate        // find out; what is found decides
	Afterwards         // of the measure itself, where something must be found out first
	Clear              // nothing is listed before the work
	Stop               // the strategy is not to be built
	NotNow             // belongs to a strategy that is not to be built
	NumActions
)

// String returns the words that tables print.
func (a Action) String() string {
	return [NumActions]string{"do", "investigate", "after investigation", "start now", "stop", "not now"}[a]
}

// Work is one line of a work list. At most one of Step and Layer is nil for work
// to be done; both are nil for what only gates or doubt ask for.
type Work struct {
	Stage  config.Stage
	Action Action
	Step   *config.Step
	// Layer is built by this line: alone, or by Step.
	Layer   *BuiltLayer
	Gates   []config.Gate      // that wait for this line, or that stop the strategy
	Because []config.Condition // that hold for the building; empty where the strategy itself asks
	// Doubt marks the line that asks to clear up whether limits are kept, Unlikely
	// that which asks to look at a wall whose typical case is not believed.
	Doubt, Unlikely bool

	turn  int // in the order of work within the stage: steps before layers
	after int // order of a later stage whose layers this one lies on, else 0
}

// BuiltLayer is a layer of a strategy as it is built: with the thickness that is
// judged, and the label of what it stands between for Bridge.
type BuiltLayer struct {
	config.StrategyLayer // of config.FaceTreatment: its Material alone
	Label                string
	Side                 string // config.SideExterior or SideInterior
	Index, Of            int    // place outside to inside among the strategy's layers of the side, from 1
	Air                  bool   // a gap that is left free
}

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
	l := lister{e: e, stopped: j.Verdict >= WarningOnly, gates: j.Gates}
	if l.stopped {
		stop := Work{Stage: e.stages[0], Action: Stop, turn: -2, Gates: l.take(func(g *config.Gate) bool { return g.Effect == config.EffectExclude })}
		for _, g := range stop.Gates {
			stop.Because = append(stop.Because, g.When...)
		}
		l.lines = append(l.lines, stop)
	} else {
		st := &e.strategies[j.Strategy]
		l.lines = e.builtLayers(st, e.repaired(st, b, &Judgement{}).Cat[ingest.OuterFinish], j.Thickness)
		if j.Verdict == SurveyFirst && e.inDoubt(j) || s != nil && s.Changes() {
			l.lines = append(l.lines, Work{Stage: e.stages[0], Action: Investigate, Doubt: true, turn: -1})
		}
		if j.Unlikely {
			l.lines = append(l.lines, Work{Stage: e.stages[0], Action: Investigate, Unlikely: true, turn: -1})
		}
	}
	for i := range e.steps {
		if bit := uint64(1) << i; (j.Do|j.Check)&bit != 0 {
			l.step(i, j.Do&bit != 0)
		}
	}
	l.gatesLeft()
	if j.Verdict == SurveyFirst || slices.ContainsFunc(l.lines, func(w Work) bool { return w.Action == Investigate }) {
		for i := range l.lines {
			if w := &l.lines[i]; w.Action == Do && (w.Step == nil || !w.Stage.Repair) {
				w.Action = Afterwards
			}
		}
	}
	ready := e.Readiness(j, s)
	if ready == StartNow {
		l.lines = append(l.lines, Work{Stage: e.stages[0], Action: Clear, turn: -2})
	}
	slices.SortStableFunc(l.lines, func(a, b Work) int {
		return cmp.Or(cmp.Compare(max(a.Stage.Order, a.after), max(b.Stage.Order, b.after)), cmp.Compare(a.turn, b.turn))
	})
	return ready, l.lines
}

// lister gathers the lines of one work list.
type lister struct {
	e       *Engine
	stopped bool   // the strategy is not to be built
	gates   uint64 // that have no line yet
	lines   []Work
}

// take hands out the gates that are wanted and have no line yet.
func (l *lister) take(want func(*config.Gate) bool) (out []config.Gate) {
	for i := range l.e.gates {
		if g := &l.e.gates[i]; l.gates&(1<<i) != 0 && want(g) {
			l.gates &^= 1 << i
			out = append(out, *g)
		}
	}
	return out
}

// step adds the line of step i, or joins it to that of the layer it builds.
func (l *lister) step(i int, do bool) {
	s := &l.e.steps[i]
	w := Work{Action: Do, Step: s, Because: s.When, turn: i}
	w.Stage, _ = l.e.stages.Of(s) // the configuration is checked: there is one
	w.Gates = l.take(func(g *config.Gate) bool { return g.Step == s.ID })
	asks := slices.ContainsFunc(w.Gates, func(g config.Gate) bool { return g.Effect == config.EffectSurvey })
	if !do {
		w.Because = s.Check
	}
	switch {
	case l.stopped && !w.Stage.Repair && len(s.When) > 0: // what only finds out helps all the same
		w.Action = NotNow
	case !do || asks:
		w.Action = Investigate
	}
	if w.Action == Do {
		for k := range l.lines {
			if line := &l.lines[k]; line.Layer != nil && line.Step == nil && line.Layer.Material == s.Builds {
				line.Step, line.Because, line.Gates = w.Step, w.Because, w.Gates
				return
			}
		}
	}
	l.lines = append(l.lines, w)
}

// gatesLeft gives a line to every gate that no step answers: a hold asks for the
// step it names, all else must be cleared up before any work.
func (l *lister) gatesLeft() {
	for i, g := range l.e.gates {
		if l.gates&(1<<i) == 0 {
			continue
		}
		w := Work{Stage: l.e.stages[0], Action: Investigate, Gates: []config.Gate{g}, Because: g.When, turn: i}
		if g.Effect == config.EffectHold { // the configuration is checked: its step is there
			w.turn = slices.IndexFunc(l.e.steps, func(s config.Step) bool { return s.ID == g.Step })
			w.Action, w.Step = Do, &l.e.steps[w.turn]
			w.Stage, _ = l.e.stages.Of(w.Step)
		}
		if l.stopped && (w.Step == nil || !w.Stage.Repair) {
			w.Action = NotNow
		}
		l.lines = append(l.lines, w)
	}
}

// Readiness says what stands between a building and the start of the work that a
// judgement asks for; s is as in WorkList.
func (e *Engine) Readiness(j *Judgement, s *Survey) Readiness {
	switch {
	case j.Verdict >= WarningOnly:
		return NoMeasurePasses
	case j.Survey || j.Check&^j.Do != 0 || j.Unlikely || j.Verdict == SurveyFirst && e.inDoubt(j) || s != nil && s.Changes():
		return InvestigateFirst
	case j.Hold || j.Do&e.repairs != 0:
		return RepairFirst
	}
	return StartNow
}

// builtLayers lists a strategy's layers in the order they are built: away from
// the masonry on both sides.
func (e *Engine) builtLayers(st *strategy, outerFinish uint8, sized float64) (out []Work) {
	latest := 0
	add := func(l BuiltLayer) {
		stage, _ := e.stages.OfLayer(&l.StrategyLayer, e.cfg.Materials[l.Material].Kind) // likewise
		latest = max(latest, stage.Order)
		out = append(out, Work{Stage: stage, Action: Do, Layer: &l, turn: maxRules + len(out), after: latest})
	}
	layer := func(list []config.StrategyLayer, i int, side string) {
		m := e.materials[list[i].Material]
		l := BuiltLayer{list[i], m.Label, side, i + 1, len(list), m.Kind == "air"}
		if l.Sized {
			l.Thickness = sized
		}
		if l.Bridge != "" {
			l.Bridge = e.materials[l.Bridge].Label
		}
		add(l)
	}
	if st.treats(outerFinish) {
		add(BuiltLayer{config.StrategyLayer{Material: config.FaceTreatment}, st.Face.Label, config.SideExterior, 1, 1, false})
	}
	for i := len(st.Outside) - 1; i >= 0; i-- {
		layer(st.Outside, i, config.SideExterior)
	}
	latest = 0
	for i := range st.Inside {
		layer(st.Inside, i, config.SideInterior)
	}
	return out
}
