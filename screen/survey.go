package screen

import (
	"cmp"
	"math"
	"slices"

	"wallsift/ingest"
	"wallsift/model/sampling"
)

// factBins is how finely a continuous fact is told apart: what a visit would
// tell, about a quarter of its range.
const factBins = 4

// survey finds which missing fact would most cut the chance of a wrong choice.
// The choices are the strategies that insulate, and leaving the wall as it is
// (which is right when no strategy is). A choice is wrong in a sample that
// exceeds a limit under it, or in which a gate excludes it.
func (s *sampler) survey(r *Row) {
	e, b := s.w.e, &r.Building
	leave := len(e.strategies)
	var actions [][]bool
	for k := range e.strategies {
		if st := &e.strategies[k]; st.Warning == "" && len(st.Inside)+len(st.Outside) > 0 {
			actions = append(actions, s.correct[k])
		}
	}
	for n := range s.points {
		s.correct[leave][n] = !slices.ContainsFunc(actions, func(a []bool) bool { return a[n] })
	}
	actions = append(actions, s.correct[leave])
	now := facts{cat: b.Cat, num: &b.Num}
	for n, p := range s.points {
		s.worlds[n] = e.worldOf(b, &now, nil, p)
	}
	var found []Fact
	add := func(field int, bins []int) {
		gain, wrong := sampling.ValueOfKnowing(bins, actions)
		r.Survey.Wrong = float32(wrong)
		if gain > 0 {
			found = append(found, Fact{Field: int16(field), Gain: float32(gain)})
		}
	}
	add(-1, make([]int, len(s.points))) // knows nothing: sets Wrong
	found = found[:0]
	for c := range ingest.NumCategories {
		if b.Cat[c] == 0 && (e.priors[c] != nil || c == ingest.HumidityClass) {
			add(int(c), s.byCategory(c))
		}
	}
	number := func(n ingest.Number, value func(w *world, p draw) float64) {
		if !math.IsNaN(b.Num[n]) {
			return
		}
		list := make([]float64, len(s.points))
		for i, p := range s.points {
			list[i] = value(&s.worlds[i], p)
		}
		add(int(ingest.NumCategories)+int(n), sampling.EqualBins(list, factBins))
	}
	number(ingest.WaterAbsorption, func(w *world, _ draw) float64 { return w.props.Aw * w.face })
	number(ingest.Orientation, func(w *world, _ draw) float64 { return w.azimuth })
	if math.IsNaN(b.Num[ingest.Storeys]) {
		number(ingest.Height, func(_ *world, p draw) float64 { return p[dimHeight] })
	}
	slices.SortStableFunc(found, func(a, b Fact) int { return cmp.Compare(b.Gain, a.Gain) })
	copy(r.Survey.Facts[:], found)
}

// byCategory groups the samples by the level drawn for a category.
func (s *sampler) byCategory(c ingest.Category) []int {
	bins := make([]int, len(s.points))
	for i := range s.worlds {
		bins[i] = int(s.worlds[i].cat[c])
		if c == ingest.HumidityClass {
			bins[i] = int(s.worlds[i].indoor)
		}
	}
	return bins
}
