package screen

import (
	"cmp"
	"math"
	"slices"

	"wallsift/ingest"
)

// reach is how near to a threshold a chance is checked by the engine. On 59
// judgements of the demo six checks took the chances from 0.057 to 0.025 of those of
// the engine on all draws (root mean square), and verdicts that differ from 4 to 1.
const reach = 0.15

// close says whether the error of a surface could change the verdict.
func (e *Engine) close(chance float64) bool {
	c := &e.cfg.Chance
	return c.Checks > 0 && (math.Abs(chance-c.SuitedBelow) < reach || math.Abs(chance-c.NotSuitedAbove) < reach)
}

// steer runs the engine for the draws the surface puts nearest to the limit, as
// far as they are nearer than it is exact. They are then known; how far the surface
// was off there, on average, is taken from all other draws. The typical case, known
// without error, counts as one more.
func (s *sampler) steer(b *ingest.Building, now *facts, st *strategy) error {
	for n := range s.order {
		s.order[n] = n
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(math.Abs(s.governs[a]), math.Abs(s.governs[b])) })
	var off, count [numOutputs]float64
	blur := s.learned.blur(st.index)
	near := slices.Clone(s.order[:min(s.w.e.cfg.Chance.Checks, len(s.order))])
	near = slices.DeleteFunc(near, func(n int) bool { return math.Abs(s.governs[n]) >= blur[s.output[n]] })
	known := make([][numOutputs]float64, len(near))
	for k, n := range near {
		out, before, err := s.w.outcomes(b, now, st, &s.worlds[n], st.Thickness.Typical, s.points[n])
		if err != nil {
			return err
		}
		if out.Failed { // it says nothing; the surface stands
			known[k] = s.y[n]
			continue
		}
		for i, v := range s.w.e.outputs(out, st, before) {
			known[k][i] = float64(v)
			if d := known[k][i] - s.y[n][i]; !math.IsNaN(d) {
				off[i] += d
				count[i]++
			}
		}
	}
	for n := range s.y {
		for i := range s.y[n] {
			s.y[n][i] += off[i] / (count[i] + 1)
		}
	}
	for k, n := range near {
		s.y[n] = known[k]
	}
	return nil
}
