package screen

import (
	"context"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"wallsift/model/indicator"
)

// seenSets is what the buildings of a run have in common, for learning.
type seenSets struct {
	zones, stones, used []bool
	hourly              int // judgements by the transient tier
}

func (e *Engine) newSets() seenSets {
	return seenSets{make([]bool, len(e.zones)), make([]bool, len(e.stones)), make([]bool, len(e.strategies)), 0}
}

func (s *seenSets) add(zone, stone uint16, list []Judgement) {
	for i := range list {
		if list[i].Tier == indicator.Transient {
			s.zones[zone], s.stones[stone], s.used[list[i].Strategy] = true, true, true
			s.hourly++
		}
	}
}

func members(set []bool) (out []uint16) {
	for i, in := range set {
		if in {
			out = append(out, uint16(i))
		}
	}
	return out
}

// chunkRows is how many rows a worker samples at a time.
const chunkRows = 16

// resampled is a chunk of rows after sampling, ready for the new spill.
type resampled struct {
	from int
	rows []Row
	enc  [][]byte
}

// resample learns the response surfaces and reads every row's chances off them.
// The rows move to a new spill in their old order, and are counted.
func (r *Run) resample(ctx context.Context, dir string, opt Options) error {
	e := r.engine
	tell := func(stage string) func(int, int) {
		return func(done, total int) { opt.report(Progress{stage, done, total}) }
	}
	l, err := e.learn(ctx, members(r.sets.zones), members(r.sets.stones), r.sets.used, tell(StageLearning))
	if err != nil {
		return err
	}
	r.Learned = e.summary(l)
	old := r.spill
	if err := old.w.Flush(); err != nil {
		return err
	}
	if r.spill, err = newSpill(dir); err != nil {
		r.spill = old
		return err
	}
	defer old.close()
	total := len(old.ends)
	g, ctx := errgroup.WithContext(ctx)
	out := make(chan resampled)
	tokens := make(chan struct{}, 4*e.workers()) // chunks under way
	var next atomic.Int64
	workers, wctx := errgroup.WithContext(ctx)
	for range e.workers() {
		workers.Go(func() error {
			s := e.newSampler(l)
			for {
				select {
				case tokens <- struct{}{}:
				case <-wctx.Done():
					return wctx.Err()
				}
				from := int(next.Add(chunkRows)) - chunkRows
				if from >= total {
					return nil
				}
				c, err := s.chunk(old, from, min(from+chunkRows, total))
				if err != nil {
					return err
				}
				select {
				case out <- c:
				case <-wctx.Done():
					return wctx.Err()
				}
			}
		})
	}
	g.Go(func() error {
		defer close(out)
		return workers.Wait()
	})
	g.Go(func() error { return r.gather(ctx, out, tokens, total, tell(StageSampling)) })
	return g.Wait()
}

func (s *sampler) chunk(old *spill, from, to int) (resampled, error) {
	c := resampled{from: from, rows: make([]Row, to-from)}
	var scratch []byte
	for i := range c.rows {
		var err error
		if scratch, err = old.row(uint32(from+i), scratch, &c.rows[i]); err != nil {
			return c, err
		}
		row := &c.rows[i]
		if err = s.row(row); err != nil {
			return c, err
		}
		c.enc = append(c.enc, encodeRow(nil, &row.Building, row.Judgements, &row.Survey))
	}
	return c, nil
}

// gather takes the chunks back into order.
func (r *Run) gather(ctx context.Context, in <-chan resampled, tokens <-chan struct{}, total int, tell func(int, int)) error {
	waiting := map[int]resampled{}
	for next := 0; next < total; {
		select {
		case c, ok := <-in:
			if !ok {
				return ctx.Err()
			}
			waiting[c.from] = c
		case <-ctx.Done():
			return ctx.Err()
		}
		for c, ok := waiting[next]; ok; c, ok = waiting[next] {
			delete(waiting, next)
			for i := range c.rows {
				if err := r.spill.add(c.enc[i]); err != nil {
					return err
				}
				r.count(&c.rows[i].Building, c.rows[i].Judgements)
				r.survey(&c.rows[i].Survey)
			}
			next += len(c.rows)
			<-tokens
			tell(next, total)
		}
	}
	return nil
}

// FactSum is a fact's worth over the portfolio.
type FactSum struct {
	Field     int16
	Buildings int     // in which knowing it is worth something
	Gain      float64 // wrong choices avoided in the portfolio, expected
}

// survey adds a building to the portfolio's survey order.
func (r *Run) survey(s *Survey) {
	if s.Wrong >= 0 {
		r.Wrong += float64(s.Wrong)
		r.Surveyed++
	}
	for _, f := range s.Facts {
		if f.Field < 0 {
			continue
		}
		sum := r.facts[f.Field]
		if sum == nil {
			sum = &FactSum{Field: f.Field}
			r.facts[f.Field] = sum
		}
		sum.Buildings++
		sum.Gain += float64(f.Gain)
	}
}

// Learned says how well the response surfaces agree with engine runs that did
// not teach them.
type Learned struct {
	Runs       int                `json:"engine_runs_a_strategy"`
	HeldOut    int                `json:"held_out"`
	Strategies []LearnedAgreement `json:"strategies"`
}

// LearnedAgreement is the agreement of one output on the runs held out. RMS and
// Bias are of log-utilisation, pressed together away from the limit (see press).
type LearnedAgreement struct {
	Strategy   string  `json:"strategy"`
	Indicator  string  `json:"indicator"`
	Runs       int     `json:"runs"`
	RMS        float64 `json:"rms_log_utilisation"`
	Bias       float64 `json:"bias_log_utilisation"`
	WrongSide  float64 `json:"wrong_side_of_the_limit"`
	ClearWrong float64 `json:"wrong_side_where_clear"`
}

func (e *Engine) summary(l *learned) *Learned {
	out := &Learned{Runs: l.runs, HeldOut: int(heldOutShare * float64(l.runs))}
	for s := range e.strategies {
		for i, a := range l.agreement[s] {
			if a.Count == 0 || !e.strategies[s].which.Has(outputIndicator[i]) {
				continue
			}
			name := outputIndicator[i].Info().Name
			if d := i - outHumidity; d >= 0 && i < outFront {
				name += [...]string{" at joist ends", " at lintels", " at bond timbers"}[d%len(e.depths)]
			}
			out.Strategies = append(out.Strategies, LearnedAgreement{e.strategies[s].ID, name, a.Count, a.RMS, a.Bias, a.WrongSide, a.ClearWrong})
		}
	}
	return out
}
