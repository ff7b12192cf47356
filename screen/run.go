package screen

import (
	"cmp"
	"context"
	"math"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
)

// Counts sums up a run.
type Counts struct {
	Accepted    int `json:"accepted"`
	Rejected    int `json:"rejected"`     // rows
	BrokenFiles int `json:"broken_files"` // files that could not be read to their end
}

// maxGroups bounds the sub-totals kept: a key that is new in every row would
// otherwise grow with the inventory.
const maxGroups = 10000

// StepCount says for how many buildings a step belongs to the best strategy.
type StepCount struct{ Do, Check int }

// Run is a finished screening: sums in memory, rows on disk.
type Run struct {
	Counts   Counts
	Verdicts [][NumVerdicts]int           // by strategy
	Saved    []float64                    // by strategy: sum over buildings it is suited for, kWh/m²a
	Best     []int                        // by strategy: buildings whose best strategy it is
	BestBy   [NumVerdicts]int             // verdict of the best strategy
	BareBest int                          // buildings for which repairs alone are best, and are enough
	Together float64                      // kWh/a saved by the best strategies that are suited or suited after repairs
	Measured int                          // buildings in Together: those whose wall area is given
	Steps    []StepCount                  // by step, over the best strategies
	Groups   map[string]*[NumVerdicts]int // by group key, the first maxGroups met
	// GroupsCut says that there were more group keys than are summed.
	GroupsCut bool
	Ranks     *Ranks
	// Learned is the agreement of the response surfaces, nil where nothing was
	// sampled. Wrong is the expected number of wrong choices over the Surveyed
	// buildings as things are known.
	Learned  *Learned
	Wrong    float64
	Surveyed int
	// Cases is how many cases the transient engine ran or had kept.
	Cases int

	sets   seenSets
	facts  map[int16]*FactSum
	engine *Engine
	src    *ingest.Source
	seen   *ingest.Seen
	taken  int // buildings collected, duplicates too
	spill  *spill
}

func newRun(e *Engine, src *ingest.Source, dir string) (*Run, error) {
	sp, err := newSpill(dir)
	if err != nil {
		return nil, err
	}
	n := len(e.strategies)
	return &Run{
		Verdicts: make([][NumVerdicts]int, n), Saved: make([]float64, n), Best: make([]int, n),
		Steps: make([]StepCount, len(e.steps)), Groups: map[string]*[NumVerdicts]int{}, Ranks: newRanks(n),
		sets: e.newSets(), facts: map[int16]*FactSum{}, engine: e, src: src, seen: ingest.NewSeen(src), spill: sp,
	}, nil
}

// count adds one accepted building to the sums.
func (r *Run) count(b *ingest.Building, list []Judgement) {
	r.Counts.Accepted++
	r.Ranks.add(b.ID, list)
	for i := range list {
		j := &list[i]
		r.Verdicts[j.Strategy][j.Verdict]++
		if j.Verdict <= SuitedAfterRepairs {
			r.Saved[j.Strategy] += j.Saved
		}
	}
	best := &list[0]
	r.Best[best.Strategy]++
	r.BestBy[best.Verdict]++
	if best.Verdict <= SuitedAfterRepairs && !best.Excluded {
		if best.Bare {
			r.BareBest++
		}
		if area := b.Num[ingest.WallArea]; !math.IsNaN(area) {
			r.Together += area * best.Saved
			r.Measured++
		}
	}
	for i := range r.Steps {
		if best.Do&(1<<i) != 0 {
			r.Steps[i].Do++
		}
		if best.Check&(1<<i) != 0 {
			r.Steps[i].Check++
		}
	}
	if key := b.Text[ingest.GroupKey]; key != "" {
		g := r.Groups[key]
		if g == nil && len(r.Groups) >= maxGroups {
			r.GroupsCut = true
			return
		}
		if g == nil {
			g = new([NumVerdicts]int)
			r.Groups[key] = g
		}
		g[best.Verdict]++
	}
}

// sampled says whether chances are still to be added to the rows.
func (r *Run) sampled() bool {
	return r.engine.cfg.Chance.Samples > 0 && r.engine.cfg.Run.Tier != tierSteady
}

// SurveyOrder returns the facts worth most over the portfolio, best first.
func (r *Run) SurveyOrder() []FactSum {
	out := make([]FactSum, 0, len(r.facts))
	for _, f := range r.facts {
		out = append(out, *f)
	}
	slices.SortFunc(out, func(a, b FactSum) int {
		if c := cmp.Compare(b.Gain, a.Gain); c != 0 {
			return c
		}
		return cmp.Compare(a.Field, b.Field)
	})
	return out
}

func (r *Run) finish(ctx context.Context, opt Options) error {
	if r.sampled() {
		if r.sets.hourly > 0 {
			if err := r.resample(ctx, opt.Dir, opt); err != nil {
				return err
			}
		} else if err := r.countAll(); err != nil {
			return err
		}
	}
	r.Cases = r.engine.outcomes.ran
	r.Ranks.settle()
	return r.spill.w.Flush()
}

// countAll counts rows that were put off for chances that none of them needs.
func (r *Run) countAll() error {
	if err := r.spill.w.Flush(); err != nil {
		return err
	}
	var row Row
	var scratch []byte
	var err error
	for i := range r.spill.ends {
		if scratch, err = r.spill.row(uint32(i), scratch, &row); err != nil {
			return err
		}
		r.count(&row.Building, row.Judgements)
	}
	return nil
}

// Close gives up the rows on disk.
func (r *Run) Close() { r.spill.close() }

// Each calls f with the rows of the given buildings, in that order. The row is
// reused between calls.
func (r *Run) Each(order []uint32, f func(building uint32, row *Row) error) error {
	var row Row
	var scratch []byte
	var err error
	for _, i := range order {
		if scratch, err = r.spill.row(i, scratch, &row); err != nil {
			return err
		}
		if err := f(i, &row); err != nil {
			return err
		}
	}
	return nil
}

// ExtraColumns names the ride-through columns, by Building.Extra index.
func (r *Run) ExtraColumns() []string { return r.src.ExtraColumns() }

// Files names the inventory files, by Building.File.
func (r *Run) Files() []string { return r.src.Files() }

// Notes says what was filled in or chosen in weather files.
func (e *Engine) Notes() []string { return e.notes }

// Energy returns the energy settings: base temperature, price and carbon.
func (e *Engine) Energy() config.Energy { return e.cfg.Energy }

// Strategies returns the strategies in listing order, by Judgement.Strategy.
func (e *Engine) Strategies() []config.Strategy {
	out := make([]config.Strategy, len(e.strategies))
	for i := range e.strategies {
		out[i] = e.strategies[i].Strategy
	}
	return out
}

// GatesOf returns the gates of a bit set, in order of id.
func (e *Engine) GatesOf(bits uint64) []config.Gate {
	var out []config.Gate
	for i := range e.gates {
		if bits&(1<<i) != 0 {
			out = append(out, e.gates[i].Gate)
		}
	}
	return out
}

// StepsOf returns the steps of a bit set, in the order of work.
func (e *Engine) StepsOf(bits uint64) []config.Step {
	var out []config.Step
	for i := range e.steps {
		if bits&(1<<i) != 0 {
			out = append(out, e.steps[i].Step)
		}
	}
	return out
}
