package screen

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"wallsift/ingest"
)

// reach is how near to a threshold a chance is checked by the engine. On 94
// judgements of the demo six checks took the chances from 0.075 to 0.038 of those of
// the engine on all draws (root mean square), and verdicts that differ from 8 to 4;
// 35 of the 94 were looked at only after all was settled (0.098 to 0.054, 4 to 2).
const reach = 0.15

// close says whether the error of a surface could change the verdict.
func (e *Engine) close(chance float64) bool {
	c := &e.cfg.Chance
	return c.Checks > 0 && (math.Abs(chance-c.SuitedBelow) < reach || math.Abs(chance-c.NotSuitedAbove) < reach)
}

// steer runs the engine for the draws the surface puts nearest to the limit, as
// far as they are nearer than it is exact. They are then known; how far the surface
// was off there is taken from the other draws, from each as far as the surface
// holds it to be alike (the mean of a Gaussian process through what was found). The
// typical case, where nothing is off, counts as one more.
func (s *sampler) steer(b *ingest.Building, now *facts, st *strategy) error {
	for n := range s.order {
		s.order[n] = n
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(math.Abs(s.governs[a]), math.Abs(s.governs[b])) })
	blur := s.learned.blur(st.index)
	near := slices.Clone(s.order[:min(s.w.e.cfg.Chance.Checks, len(s.order))])
	near = slices.DeleteFunc(near, func(n int) bool { return math.Abs(s.governs[n]) >= blur[s.output[n]] })
	known := map[int][numOutputs]float64{}
	for _, n := range near {
		out, before, err := s.w.outcomes(b, now, st, &s.worlds[n], st.Thickness.Typical, s.points[n])
		if err != nil {
			return err
		}
		if out.Failed { // it says nothing; the surface stands
			continue
		}
		var y [numOutputs]float64
		for i, v := range s.w.e.outputs(out, st, before) {
			y[i] = float64(v)
		}
		known[n] = y
	}
	for i := range numOutputs {
		at, off := []*features{&s.typical}, []float64{0}
		for _, n := range near {
			if y, ok := known[n]; ok && !math.IsNaN(y[i]-s.y[n][i]) {
				at, off = append(at, &s.features[n]), append(off, y[i]-s.y[n][i])
			}
		}
		s.spread(st, i, at, off)
	}
	for n, y := range known {
		s.y[n] = y
	}
	return nil
}

// noise is the share of an output's variance that rows alike in every feature
// differ by: cases of equal features are not equal. Own choice.
const noise = 0.1

// spread adds to output i of every draw what a Gaussian process through the given
// differences makes of them there.
func (s *sampler) spread(st *strategy, i int, at []*features, off []float64) {
	if len(off) < 2 {
		return
	}
	surface, scratch := s.learned.surfaces[st.index], s.scratch[st.index]
	k := mat.NewSymDense(len(at), nil)
	for r := range at {
		for c := range r {
			k.SetSym(r, c, surface.Likeness(i, at[r][:], at[c][:], scratch))
		}
		k.SetSym(r, r, 1+noise)
	}
	var weights mat.VecDense
	var f mat.Cholesky
	if !f.Factorize(k) || f.SolveVecTo(&weights, mat.NewVecDense(len(off), off)) != nil {
		return // no kernel is so flat that the noise does not part its rows
	}
	for n := range s.y {
		for r := range at {
			s.y[n][i] += weights.AtVec(r) * surface.Likeness(i, s.features[n][:], at[r][:], scratch)
		}
	}
}
