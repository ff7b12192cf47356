package screen

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
	"wallsift/model/surrogate"
)

// replicates is the number of independent scrambles the samples come in; their
// scatter gives the sampling error.
const replicates = 4

// sampler reads chances, allowances and survey values off the surfaces.
type sampler struct {
	w       *Worker
	learned *learned
	points  [][]float64
	scratch []*surrogate.Scratch
	worlds  []world
	y       [][numOutputs]float64 // by sample, as pressed
	samples
	correct [][]bool // by strategy, and last: leaving the wall uninsulated
}

func (e *Engine) newSampler(l *learned) *sampler {
	per := e.cfg.Chance.Samples / replicates
	s := &sampler{w: e.NewWorker(), learned: l, points: sampling.Replicated(max(per, 1), replicates, e.dims, uint64(e.cfg.Run.Seed))}
	n := len(s.points)
	s.worlds, s.y, s.samples = make([]world, n), make([][numOutputs]float64, n), newSamples(n)
	s.scratch = make([]*surrogate.Scratch, len(l.surfaces))
	for k, f := range l.surfaces {
		if f != nil {
			s.scratch[k] = f.NewScratch()
		}
	}
	s.correct = make([][]bool, len(e.strategies)+1)
	for k := range s.correct {
		s.correct[k] = make([]bool, n)
	}
	return s
}

// row samples a building: chances, allowances, verdicts and their order, and what
// a survey would be worth.
func (s *sampler) row(r *Row) error {
	e, b := s.w.e, &r.Building
	now := facts{cat: b.Cat, num: &b.Num}
	sampled := false
	for k := range s.correct {
		clear(s.correct[k])
	}
	for i := range r.Judgements {
		j := &r.Judgements[i]
		if j.Tier != indicator.Transient || j.Failed || s.learned.surfaces[j.Strategy] == nil {
			continue
		}
		if err := s.strategy(b, &now, j); err != nil {
			return fmt.Errorf("building %s, strategy %s: %w", b.ID, e.strategies[j.Strategy].ID, err)
		}
		e.decide(j)
		sampled = true
	}
	byRank(r.Judgements)
	r.Survey = noSurvey()
	if !sampled {
		return nil
	}
	s.survey(r)
	best := &r.Judgements[0]
	st := &e.strategies[best.Strategy]
	var scratch Judgement
	after := e.repaired(st, &now, &scratch)
	world := e.worldOf(b, &after, st, nil)
	return s.w.drier(b, &now, st, &world, best)
}

// strategy samples one judgement.
func (s *sampler) strategy(b *ingest.Building, now *facts, j *Judgement) error {
	e := s.w.e
	st := &e.strategies[j.Strategy]
	z := e.zones[e.zoneIndex[b.Zone]]
	var scratch Judgement
	after := e.repaired(st, now, &scratch)
	var y [numOutputs]float64
	world := e.worldOf(b, &after, st, nil)
	s.predict(z, &world, st, st.Thickness.Typical, &y)
	// The engine's own answer for the typical case holds the surface: it is asked
	// for differences only.
	var shift [numOutputs]float64
	for i := range shift {
		if d := float64(j.Anchor[i]) - y[i]; !math.IsNaN(d) {
			shift[i] = d
		}
	}
	for n, p := range s.points {
		s.worlds[n] = e.worldOf(b, &after, st, p)
		s.predict(z, &s.worlds[n], st, st.Thickness.Typical, &s.y[n])
		for i := range s.y[n] {
			s.y[n][i] += shift[i]
		}
	}
	s.govern(b, st)
	s.samples.settle(j)
	if e.close(j.Chance) {
		if err := s.steer(b, now, st); err != nil {
			return err
		}
		s.govern(b, st)
	}
	s.samples.settle(j)
	return s.allowance(b, now, z, &world, st, &shift, j)
}

// govern judges every sample by what is known of it.
func (s *sampler) govern(b *ingest.Building, st *strategy) {
	for n := range s.y {
		u, output, ok := governing(s.y[n][:], st, &s.worlds[n])
		s.set(n, u, outputIndicator[output], ok)
		s.correct[st.index][n] = !s.over[n] && !s.w.e.excludes(st, &facts{cat: s.worlds[n].cat, num: &b.Num})
	}
}

// A chance within reach of a threshold is checked by the engine at some draws. On
// 59 judgements of the demo that took the chances from 0.057 to 0.025 of those of
// the engine on all draws (root mean square), and verdicts that differ from 4 to 1.
const (
	reach  = 0.15
	checks = 6
)

// close says whether the error of a surface could change the verdict.
func (e *Engine) close(chance float64) bool {
	c := &e.cfg.Chance
	return math.Abs(chance-c.SuitedBelow) < reach || math.Abs(chance-c.NotSuitedAbove) < reach
}

// steer runs the engine for the draws the surface puts nearest to the limit. They
// are then known; how far the surface was off there, on average, is taken from all
// other draws. The typical case, known without error, counts as one more.
func (s *sampler) steer(b *ingest.Building, now *facts, st *strategy) error {
	for n := range s.order {
		s.order[n] = n
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(math.Abs(s.governs[a]), math.Abs(s.governs[b])) })
	var off, count [numOutputs]float64
	near := s.order[:min(checks, len(s.order))]
	known := make([][numOutputs]float64, len(near))
	for k, n := range near {
		out, before, err := s.w.outcomes(b, now, st, &s.worlds[n], st.Thickness.Typical, s.points[n])
		if err != nil {
			return err
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

// predict asks the surface for the pressed utilisations of a world.
func (s *sampler) predict(z *zone, w *world, st *strategy, sized float64, y *[numOutputs]float64) {
	c := s.w.e.caseOf(z, w, st, sized)
	var f [simulate.NumFeatures]float64
	c.Features(&f)
	s.learned.surfaces[st.index].Predict(f[:], y[:], s.scratch[st.index])
	for i, v := range y {
		y[i] = min(max(v, -pressed), pressed) // NaN stays
	}
}

// allowance finds the most insulation the typical world takes. The surface
// settles what is clear by it, the engine the rest.
func (s *sampler) allowance(b *ingest.Building, now *facts, z *zone, w *world, st *strategy, shift *[numOutputs]float64, j *Judgement) (err error) {
	doubt := s.learned.doubt(st.index)
	var y [numOutputs]float64
	at := func(sized float64) {
		s.predict(z, w, st, sized, &y)
		for i := range y {
			y[i] += shift[i]
		}
	}
	guess, steps := 0, st.Thickness.Steps()
	for guess < steps {
		at(st.Thickness.At(guess))
		if u, _, ok := governing(y[:], st, w); ok && u > 0 {
			break
		}
		guess++
	}
	j.Allowance, err = s.w.e.allowanceOf(j, guess, func(step int) (trial, error) {
		sized := st.Thickness.At(step)
		at(sized)
		clear := true
		for i, v := range y {
			if relevant(i, st, w) && !math.IsNaN(v) {
				clear = clear && v < -doubt[i]
			}
		}
		if u, k, ok := governing(y[:], st, w); clear || ok && u > doubt[k] {
			return trial{!clear, outputIndicator[k]}, nil
		}
		return s.w.runAt(b, now, st, w, sized)
	})
	return err
}

// excludes says whether a gate excludes the strategy for such facts.
func (e *Engine) excludes(st *strategy, f *facts) bool {
	for i := range e.gates {
		g := &e.gates[i]
		if st.gates&(1<<i) != 0 && g.Effect == "exclude" && allHold(g.when, f) {
			return true
		}
	}
	return false
}
