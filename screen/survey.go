package screen

import (
	"cmp"
	"math"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/sampling"
)

// Fact is something the inventory does not know, with what knowing it is worth.
type Fact struct {
	Field int16   // ingest.Category, or ingest.Number after ingest.NumCategories; -1 for none
	Gain  float32 // chance of a wrong choice that knowing it takes away, 0–1
}

// MostFacts is how many facts are kept for a building, best first.
const MostFacts = 4

// Survey is what a visit to a building would be worth.
type Survey struct {
	Wrong float32 // chance that the best choice by what is known is wrong; negative when not drawn
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

// Finding says how a fact is found out. The row is there for every fact of a
// Survey: the configuration is refused without.
func (e *Engine) Finding(f Fact) config.Finding { return e.FindingOf(f.Name()) }

// FindingOf is Finding for a fact by its name in the inventory.
func (e *Engine) FindingOf(field string) config.Finding { return e.cfg.Findings[field] }

// noSurvey is a survey that was not drawn.
func noSurvey() Survey {
	s := Survey{Wrong: notDrawn}
	for i := range s.Facts {
		s.Facts[i].Field = -1
	}
	return s
}

// factBins is how finely a continuous fact is told apart: what a visit would
// tell, about a quarter of its range.
const factBins = 4

// survey finds which missing fact would most cut the chance of a wrong choice.
// The choices are the strategies that insulate, and leaving the wall as it is
// (which is right when no strategy is). A choice is wrong in a draw that exceeds
// a limit under it, or in which a gate excludes it. What a strategy comes to in a
// draw that its settled verdict did not need is taken from that verdict.
func (h *home) survey(list []Judgement) Survey {
	e := h.e
	n := len(h.draws)
	worlds := make([]world, n)
	for i := range worlds {
		worlds[i] = e.worldOf(h.b, h.now, nil, h.point(i))
	}
	var actions [][]bool
	for i := range list {
		j := &list[i]
		d, st := h.open[j.Strategy], &e.strategies[j.Strategy]
		if d == nil || st.Warning != "" || st.bare() {
			continue
		}
		right := make([]bool, n)
		for k := range right {
			over := d.chance.P > e.cfg.Chance.NotSuitedAbove
			if k < len(d.over) && !math.IsNaN(d.logs[k]) {
				over = d.over[k]
			} else if between := d.chance.P > e.cfg.Chance.SuitedBelow && !over; between && len(d.over) > 0 {
				over = d.over[k%len(d.over)]
			}
			right[k] = !over && !e.excludes(st, &facts{cat: worlds[k].cat, num: h.now.num})
		}
		actions = append(actions, right)
	}
	if len(actions) == 0 {
		return noSurvey()
	}
	leave := make([]bool, n)
	for k := range leave {
		leave[k] = !slices.ContainsFunc(actions, func(a []bool) bool { return a[k] })
	}
	actions = append(actions, leave)
	weights := make([]float64, n)
	for k := range weights {
		if weights[k] = 1; h.worn[k] {
			weights[k] = h.past.Weight
		}
	}
	s := noSurvey()
	var found []Fact
	add := func(field int, bins []int) {
		gain, wrong := sampling.ValueOfKnowing(bins, weights, actions)
		s.Wrong = float32(wrong)
		if gain > 0 && field >= 0 {
			found = append(found, Fact{Field: int16(field), Gain: float32(gain)})
		}
	}
	add(-1, make([]int, n)) // knows nothing: sets Wrong
	for c := range ingest.NumCategories {
		if h.b.Cat[c] == 0 && (e.priors[c] != nil || c == ingest.HumidityClass) {
			add(int(c), byCategory(worlds, c))
		}
	}
	number := func(of ingest.Number, value func(w *world, draw []float64) float64) {
		values := make([]float64, n)
		for i := range values {
			values[i] = value(&worlds[i], h.draws[i])
		}
		add(int(ingest.NumCategories)+int(of), sampling.EqualBins(values, factBins))
	}
	if math.IsNaN(h.b.Num[ingest.WaterAbsorption]) {
		number(ingest.WaterAbsorption, func(w *world, _ []float64) float64 { return w.props.Aw })
	}
	if math.IsNaN(h.b.Num[ingest.Orientation]) && h.b.Facings == 0 {
		number(ingest.Orientation, func(w *world, _ []float64) float64 { return w.facings[0] })
	}
	if math.IsNaN(h.b.Num[ingest.Height]) && math.IsNaN(h.b.Num[ingest.Storeys]) {
		number(ingest.Height, func(_ *world, draw []float64) float64 { return draw[dimHeight] })
	}
	slices.SortStableFunc(found, func(a, b Fact) int { return cmp.Compare(b.Gain, a.Gain) })
	copy(s.Facts[:], found)
	return s
}

// byCategory groups the draws by the level drawn for a category.
func byCategory(worlds []world, c ingest.Category) []int {
	bins := make([]int, len(worlds))
	for i := range worlds {
		bins[i] = int(worlds[i].cat[c])
		if c == ingest.HumidityClass {
			bins[i] = int(worlds[i].indoor)
		}
	}
	return bins
}

// excludes says whether a gate excludes the strategy for such facts.
func (e *Engine) excludes(st *strategy, f *facts) bool {
	for i := range e.gates {
		g := &e.gates[i]
		if st.gates&(1<<i) != 0 && g.Effect == config.EffectExclude && allHold(g.when, f) {
			return true
		}
	}
	return false
}
