package screen

import (
	"fmt"
	"math"

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
	output  []int                 // by sample, the one that governs
	// What the surface sees of every sample and of the typical case.
	features []features
	typical  features
	samples
	correct [][]bool // by strategy, and last: leaving the wall uninsulated
}

func (e *Engine) newSampler(l *learned) *sampler {
	per := e.cfg.Chance.Samples / replicates
	s := &sampler{w: e.NewWorker(), learned: l, points: sampling.Replicated(max(per, 1), replicates, e.dims, uint64(e.cfg.Run.Seed))}
	n := len(s.points)
	s.worlds, s.y, s.samples = make([]world, n), make([][numOutputs]float64, n), newSamples(n)
	s.output, s.features = make([]int, n), make([]features, n)
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
	s.typical = s.predict(z, &world, st, st.Thickness.Typical, &y)
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
		s.features[n] = s.predict(z, &s.worlds[n], st, st.Thickness.Typical, &s.y[n])
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
		s.output[n] = output
		s.set(n, u, outputIndicator[output], ok)
		s.correct[st.index][n] = !s.over[n] && !s.w.e.excludes(st, &facts{cat: s.worlds[n].cat, num: &b.Num})
	}
}

// features are what a surface sees of a case.
type features = [simulate.NumFeatures]float64

// predict asks the surface for the pressed utilisations of a world.
func (s *sampler) predict(z *zone, w *world, st *strategy, sized float64, y *[numOutputs]float64) (f features) {
	c := s.w.e.caseOf(z, w, st, sized)
	c.Features(&f)
	s.learned.surfaces[st.index].Predict(f[:], y[:], s.scratch[st.index])
	for i, v := range y {
		y[i] = min(max(v, -pressed), pressed) // NaN stays
	}
	return f
}

// allowance finds the most insulation the typical world takes. The surface
// settles what it puts farther from the limit than its own error, the engine the rest.
func (s *sampler) allowance(b *ingest.Building, now *facts, z *zone, w *world, st *strategy, shift *[numOutputs]float64, j *Judgement) (err error) {
	blur := s.learned.blur(st.index)
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
				clear = clear && v < -blur[i]
			}
		}
		if u, k, ok := governing(y[:], st, w); clear || ok && u > blur[k] {
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
