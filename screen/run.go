package screen

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
)

// Counts sums up a run.
type Counts struct {
	Accepted    int // homes
	Rows        int // of the inventory that stand for them
	Walls       int // of these, rows of homes that have one for each wall
	Rejected    int // rows
	BrokenFiles int // files that could not be read to their end
}

// maxGroups bounds the sub-totals kept: a key that is new in every row would
// otherwise grow with the inventory.
const maxGroups = 10000

// StepCount says for how many buildings a step belongs to the best strategy.
type StepCount struct{ Do, Check int }

// Group sums up the buildings of one group key.
type Group struct {
	Verdicts [NumVerdicts]int // of the best strategy
	Saved    float64          // as Sums.Together
	Measured int
}

// Run is a finished screening: sums in memory, rows on disk.
type Run struct {
	Counts Counts
	Sums
	Ranks *Ranks
	// Source knows the names of files and ride-through columns, and hashes of what was read.
	Source *ingest.Source

	ctx    context.Context // of the run: what reads rows back for writing stops with it
	engine *Engine
	intake *Intake
	held   *spill // the walls of homes, until all rows are read
	spill  *spill
}

// Sums are what a run adds up over its buildings.
type Sums struct {
	Verdicts [][NumVerdicts]int // by strategy
	Saved    []float64          // by strategy: sum over buildings it is suited for, kWh/m²a
	Best     []int              // by strategy: buildings whose best strategy it is
	BestBy   [NumVerdicts]int   // verdict of the best strategy
	BareBest int                // buildings for which repairs alone are best, and are enough
	Together float64            // whole kWh/a saved by the best strategies that are suited or suited after repairs
	Measured int                // buildings in Together: those whose wall area is given
	Steps    []StepCount        // by step, over the best strategies
	Groups   map[string]*Group  // by group key, the first maxGroups met
	// GroupsCut says that there were more group keys than are summed.
	GroupsCut bool
	// Wrong is the expected number of wrong choices over the Surveyed buildings as
	// things are known.
	Wrong    float64
	Surveyed int
	Cases    int // runs the engine was asked for
	Draws    int // of them, over all judgements
	Drawn    int // judgements that were drawn
	Near     int // of them, near a threshold after the last draw

	facts map[int16]*FactSum
}

func newRun(ctx context.Context, e *Engine, src *ingest.Source, dir string) (*Run, error) {
	sp, err := newSpill(dir)
	if err != nil {
		return nil, err
	}
	held, err := newSpill(dir)
	if err != nil {
		sp.close()
		return nil, err
	}
	r := &Run{ctx: ctx, engine: e, Source: src, intake: NewIntake(src), spill: sp, held: held}
	r.resetSums()
	return r, nil
}

// resetSums forgets what was added up; rejects stay counted.
func (r *Run) resetSums() {
	n := len(r.engine.strategies) + 1 // and wall by wall
	r.Counts.Accepted, r.Counts.Rows, r.Counts.Walls = 0, 0, 0
	r.Ranks = &Ranks{keys: make([][]uint64, n)}
	r.Sums = Sums{Verdicts: make([][NumVerdicts]int, n), Saved: make([]float64, n), Best: make([]int, n),
		Steps: make([]StepCount, len(r.engine.steps)), Groups: map[string]*Group{}, facts: map[int16]*FactSum{}}
}

// add writes a row and adds it to the sums.
func (r *Run) add(row *Row) error {
	if err := r.spill.add(row); err != nil {
		return err
	}
	r.Counts.Rows += max(1, len(row.Walls))
	r.Counts.Walls += len(row.Walls)
	r.count(&row.Building, row.Judgements)
	r.survey(&row.Survey)
	r.Cases += row.Cases
	return nil
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
		if j.Chance >= 0 {
			r.Drawn++
			r.Draws += int(j.Draws)
			if j.Near {
				r.Near++
			}
		}
	}
	best := &list[0]
	r.Best[best.Strategy]++
	r.BestBy[best.Verdict]++
	suited := best.Verdict <= SuitedAfterRepairs && !best.Excluded
	if suited && best.Bare {
		r.BareBest++
	}
	saved := math.Round(b.Num[ingest.WallArea] * best.Saved) // as the tables have it of a building, so that they add up
	measured := suited && !math.IsNaN(b.Num[ingest.WallArea])
	if measured {
		r.Together += saved
		r.Measured++
	}
	for i := range r.Steps {
		r.Steps[i].Do += int(best.Do >> i & 1)
		r.Steps[i].Check += int(best.Check >> i & 1)
	}
	if key := b.Text[ingest.GroupKey]; key != "" {
		g := r.Groups[key]
		if g == nil && len(r.Groups) >= maxGroups {
			r.GroupsCut = true
			return
		}
		if g == nil {
			g = new(Group)
			r.Groups[key] = g
		}
		g.Verdicts[best.Verdict]++
		if measured {
			g.Saved += saved
			g.Measured++
		}
	}
}

// SurveyOrder returns the facts worth most over the portfolio, best first.
func (r *Run) SurveyOrder() []*FactSum {
	return slices.SortedFunc(maps.Values(r.facts), func(a, b *FactSum) int {
		return cmp.Or(cmp.Compare(b.Gain+b.Clears, a.Gain+a.Clears), cmp.Compare(a.Field, b.Field))
	})
}

// Close gives up the rows on disk.
func (r *Run) Close() {
	r.spill.close()
	r.held.close()
}

// In is the run with a context that ends sooner than its own.
func (r *Run) In(ctx context.Context) *Run {
	sooner := *r
	sooner.ctx = ctx
	return &sooner
}

// Each calls f with the rows of the given buildings, in that order. The row is
// reused between calls. It ends with the context of the run.
func (r *Run) Each(order []uint32, f func(building uint32, row *Row) error) error {
	var row Row
	for _, i := range order {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		if err := r.spill.row(i, &row); err != nil {
			return err
		}
		if err := f(i, &row); err != nil {
			return err
		}
	}
	return nil
}

// Choices returns what a judgement may be of, by Judgement.Strategy: the strategies,
// and behind them WallByWall.
func (e *Engine) Choices() []config.Strategy { return e.choices }

// Strategies returns the strategies in listing order, by Judgement.Strategy.
func (e *Engine) Strategies() []config.Strategy {
	return e.choices[:len(e.strategies):len(e.strategies)]
}

// Choices returns those of the engine that some building of the run has.
func (r *Run) Choices() []config.Strategy {
	out := r.engine.Choices()
	if last := len(out) - 1; len(r.Ranks.Order[last]) == 0 {
		return out[:last]
	}
	return out
}

// FactSum is a fact's worth over the portfolio.
type FactSum struct {
	Field     int16
	Buildings int     // in which knowing it is worth something
	Gain      float64 // wrong choices avoided in the portfolio, expected
	Clears    float64 // verdicts that become clear, expected
}

// survey adds a building to the portfolio's survey order.
func (r *Run) survey(s *Survey) {
	if s.Wrong >= 0 {
		r.Wrong += float64(s.Wrong)
		r.Surveyed++
	}
	for _, f := range s.Facts {
		sum := r.facts[f.Field]
		if sum == nil {
			sum = &FactSum{Field: f.Field}
			r.facts[f.Field] = sum
		}
		sum.Buildings++
		sum.Gain += float64(f.Gain)
		sum.Clears += float64(f.Clears)
	}
}
