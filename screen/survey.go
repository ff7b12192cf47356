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
	Field int16   // ingest.Category, or ingest.Number after ingest.NumCategories
	Gain  float32 // chance of a wrong choice that knowing it takes away, 0–1
	// Clears is the chance that the verdict on the best strategy is survey first no
	// more once it is known, 0–1; 0 where the verdict is clear as it is.
	Clears float32
}

// Worth is what knowing a fact is worth: it clears the verdict, or betters the choice.
func (f Fact) Worth() float32 { return f.Clears + f.Gain }

// MostFacts is how many facts are kept for a building.
const MostFacts = 4

// Survey is what a visit to a building would be worth.
type Survey struct {
	Wrong float32 // chance that the best choice by what is known is wrong; negative when not drawn
	// Unclear says that the verdict on the best strategy is survey first.
	Unclear bool
	Facts   []Fact // that help, best first
}

// Name returns the fact's name in the inventory, without unit.
func (f Fact) Name() string {
	if f.Field < int16(ingest.NumCategories) {
		return ingest.Category(f.Field).Name()
	}
	return ingest.Number(f.Field - int16(ingest.NumCategories)).Name()
}

// Finding says how a fact is found out, by its name in the inventory. The row is there
// for every fact of a Survey: the configuration is refused without.
func (e *Engine) Finding(field string) config.Finding { return e.cfg.Findings[field] }

// Changes says whether a missing fact changes the choice.
func (s *Survey) Changes() bool {
	return slices.ContainsFunc(s.Facts, func(f Fact) bool { return f.Gain > 0 })
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
	n := len(e.draws)
	worlds := make([]world, n)
	for i := range worlds {
		worlds[i] = e.worldOf(h.b, &asIs, h.point(i))
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
			if k < len(d.logs) && !math.IsNaN(d.logs[k]) {
				over = d.over(k)
			} else if between := d.chance.P > e.cfg.Chance.SuitedBelow && !over; between && len(d.logs) > 0 {
				over = d.over(k % len(d.logs))
			}
			as, then := *h.b, Judgement{Tier: j.Tier}
			as.Cat = worlds[k].cat
			e.gateEffects(st, &as, &then)
			right[k] = !over && !then.Excluded
		}
		actions = append(actions, right)
	}
	s := Survey{Wrong: notDrawn}
	if len(actions) == 0 {
		return s
	}
	leave := make([]bool, n)
	for k := range leave {
		leave[k] = !slices.ContainsFunc(actions, func(a []bool) bool { return a[k] })
	}
	actions = append(actions, leave)
	weights := make([]float64, n)
	for k := range weights {
		if weights[k] = 1; k < len(h.wear) && h.wear[k] >= 1 {
			weights[k] = h.past.Weight
		}
	}
	as := func(int) *ingest.Building { return h.b }
	one := make([]int, n) // knows nothing
	_, wrong := sampling.ValueOfKnowing(one, weights, actions)
	s.Wrong, s.Unclear = float32(wrong), list[0].Verdict == SurveyFirst
	var nothing float64 // what clears knows once nothing more is known
	if s.Unclear {      // for a reason that no draw and no gate knows of
		nothing = h.clears(&list[0], one, weights, as)
	}
	add := func(field int, bins []int, known func(bin int) *ingest.Building) {
		gain, _ := sampling.ValueOfKnowing(bins, weights, actions)
		f := Fact{Field: int16(field), Gain: float32(gain)}
		if s.Unclear {
			f.Clears = float32(max(0, h.clears(&list[0], bins, weights, known)-nothing))
		}
		if f.Worth() >= leastWorth {
			s.Facts = append(s.Facts, f)
		}
	}
	for c := range ingest.NumCategories {
		to := func(level int) *ingest.Building {
			b := *h.b
			b.Cat[c] = uint8(level)
			return &b
		}
		switch {
		case h.b.Cat[c] != 0:
		case c == ingest.HumidityClass:
			add(int(c), figures(worlds, func(w *world) int { return int(w.Indoor) }), as)
		case e.priors[c] != nil:
			add(int(c), figures(worlds, func(w *world) int { return int(w.cat[c]) }), to)
		case s.Unclear: // a gate may ask for it; its words are alike to the draws
			add(int(c), one, func(int) *ingest.Building { return to(1) })
		}
	}
	number := func(of ingest.Number, value func(w *world) float64) {
		add(int(ingest.NumCategories)+int(of), sampling.EqualBins(figures(worlds, value), factBins), as)
	}
	if math.IsNaN(h.b.Num[ingest.WaterAbsorption]) {
		number(ingest.WaterAbsorption, func(w *world) float64 { return w.Stone.Aw })
	}
	if math.IsNaN(h.b.Num[ingest.Orientation]) && h.b.Facings == 0 {
		number(ingest.Orientation, func(w *world) float64 { return w.facings[0] })
	}
	if math.IsNaN(h.b.Num[ingest.Height]) && math.IsNaN(h.b.Num[ingest.Storeys]) {
		number(ingest.Height, func(w *world) float64 { return w.point.draw[dimHeight] })
	}
	s.keepBest()
	return s
}

// keepBest puts the facts in order, each once.
func (s *Survey) keepBest() {
	slices.SortStableFunc(s.Facts, func(a, b Fact) int { return cmp.Compare(b.Worth(), a.Worth()) })
	var best []Fact
	for _, f := range s.Facts {
		if len(best) < MostFacts && !slices.ContainsFunc(best, func(g Fact) bool { return g.Field == f.Field }) {
			best = append(best, f)
		}
	}
	s.Facts = best
}

// leastWorth is what a fact must be worth to be listed: what is printed as more than 0.
const leastWorth = 0.0005

// leastInBin is the fewest draws of a bin that tell whether a verdict is clear: a
// screening choice of this tool.
const leastInBin = 3

// clears is the chance that the verdict on a strategy is clear once it is known in
// which bin a fact lies: no gate asks for a survey, given the facts as known then,
// and the draws of the bin lie clear of the thresholds or a gate excludes.
func (h *home) clears(j *Judgement, bins []int, weights []float64, known func(bin int) *ingest.Building) float64 {
	e, d, st := h.e, h.open[j.Strategy], &h.e.strategies[j.Strategy]
	if d == nil {
		return 0
	}
	var all, clear float64
	type tally struct {
		all, over float64
		n         int
	}
	by := make([]tally, slices.Max(bins)+1)
	for k := range d.logs {
		if !math.IsNaN(d.logs[k]) {
			t := &by[bins[k]]
			t.all, t.n = t.all+weights[k], t.n+1
			if d.over(k) {
				t.over += weights[k]
			}
			all += weights[k]
		}
	}
	for bin, t := range by {
		if t.all == 0 {
			continue
		}
		then := Judgement{Tier: j.Tier}
		e.gateEffects(st, known(bin), &then)
		p := t.over / t.all
		if then.Excluded || !then.Survey && t.n >= leastInBin && (p <= e.cfg.Chance.SuitedBelow || p > e.cfg.Chance.NotSuitedAbove) {
			clear += t.all
		}
	}
	if all == 0 {
		return 0
	}
	return clear / all
}

// figures are those of the draws.
func figures[T any](worlds []world, of func(w *world) T) []T {
	out := make([]T, len(worlds))
	for i := range out {
		out[i] = of(&worlds[i])
	}
	return out
}
