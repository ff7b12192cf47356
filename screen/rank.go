package screen

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"
)

// RankingRule is printed wherever ranks are: it must say what RankKey does.
const RankingRule = "Rank: strategies that no rule excludes first, those kept as a warning last of them, then verdict (insulation that is suited, insulation suited after repairs, repairs alone where they are enough, survey first, not suited), " +
	"then the margin grade of the high share of the limit, then energy saved per unit of risk (saving divided by that share), then building id."

// RankKey orders judgements by the ranking rule, save for the building id; smaller is
// better. The class stands above the score, whose bits are turned so that whole
// numbers compare as scores do, from high to low.
func (j *Judgement) RankKey() uint64 {
	place := 2 * uint32(j.Verdict)
	if j.Bare && j.Verdict <= SuitedAfterRepairs {
		place = 3 // what is asked is who can be insulated; repairs alone are what remains
	}
	class := place<<8 | uint32(j.Margin)
	if j.Warned {
		class |= 1 << 16
	}
	if j.Excluded {
		class |= 1 << 17
	}
	score := math.Float32bits(float32(j.Score) + 0) // so that zero has no sign
	if score&signBit == 0 {
		score = ^(score | signBit)
	}
	return uint64(class)<<classShift | uint64(score)
}

const (
	signBit    = 1 << 31 // of a float32
	classShift = 32      // of a rank key
	// gradeShift leaves the class without its margin grade.
	gradeShift = classShift + 8
	// noRank stands behind all others.
	noRank = math.MaxUint64
)

// Ranks holds the order of buildings, overall and within each strategy. It is
// all that stays in memory for every building besides its place in the spill
// and 16 bytes to find duplicates: its id, and 8 bytes a strategy.
type Ranks struct {
	keys  [][]uint64 // by strategy, by building
	best  []uint64   // of the building's first strategy
	ids   []string
	Order [][]uint32 // by strategy: buildings in order of rank
	place [][]uint32 // by strategy: rank of each building, from 0
	// Overall is the order of buildings by their best strategy.
	Overall []uint32
}

func (r *Ranks) add(id string, list []Judgement) {
	r.ids = append(r.ids, strings.Clone(id)) // else it would keep a whole batch
	for s := range r.keys {                  // wall by wall is not there for every building
		r.keys[s] = append(r.keys[s], noRank)
	}
	for i := range list {
		r.keys[list[i].Strategy][len(r.best)] = list[i].RankKey()
	}
	r.best = append(r.best, list[0].RankKey())
}

// Len returns the number of buildings ranked.
func (r *Ranks) Len() int { return max(len(r.best), len(r.Overall)) }

// settle sorts everything, so many rankings at a time.
func (r *Ranks) settle(workers int) {
	var g errgroup.Group
	g.SetLimit(workers)
	g.Go(func() error { r.Overall = r.sorted(r.best); return nil })
	r.Order, r.place = make([][]uint32, len(r.keys)), make([][]uint32, len(r.keys))
	for s, keys := range r.keys {
		g.Go(func() error {
			order := r.sorted(keys)
			place := make([]uint32, len(order))
			for rank, building := range order {
				place[building] = uint32(rank)
				if keys[building] == noRank {
					order = order[:rank]
					break
				}
			}
			r.Order[s], r.place[s], r.keys[s] = order, place, nil
			return nil
		})
	}
	g.Wait() // nothing of it fails
	r.best, r.ids = nil, nil
}

func (r *Ranks) sorted(keys []uint64) []uint32 {
	order := make([]uint32, len(keys))
	for i := range order {
		order[i] = uint32(i)
	}
	slices.SortFunc(order, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(keys[a], keys[b]), cmp.Compare(r.ids[a], r.ids[b]))
	})
	return order
}

// In returns the rank of a building within a strategy, from 1.
func (r *Ranks) In(strategy uint8, building uint32) int { return int(r.place[strategy][building]) + 1 }

// byRank puts the judgements of one building in order.
func byRank(list []Judgement) {
	slices.SortFunc(list, func(a, b Judgement) int {
		return cmp.Or(cmp.Compare(a.RankKey(), b.RankKey()), int(a.Strategy)-int(b.Strategy))
	})
}
