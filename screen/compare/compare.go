package compare

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"
)

// Result is what moved between two runs.
type Result struct {
	old, new *folder
	x        *index
	evidence evidence
	reaching map[ground][]part
	facts    []string
	changes  []change // most important first
	kept     int      // rows without a change
	top      int
	works    [len(workColumns)]bool // which of them both rankings have
	values   [2]map[string][]string // by run: of buildings whose facts differ, those that do
	rejected [2]map[string]string   // why a building that is shown is not in a run
}

// change is a row that moved.
type change struct {
	building int32
	strategy uint8
	reason   Reason
	class    uint8 // 0 most important
	step     int8  // grades by which the verdict got worse
	share    float32
}

// Classes of changes, most important first.
const (
	verdictOfBest uint8 = iota // of a strategy that is its building's best in one of the runs
	verdictOfOther
	comesOrGoes // a strategy, or the best one of a building
	figuresOnly
	comesAlong // the other strategies of a building
)

// Folders compares two output folders; top is the number of rows that will be
// shown, 0 for all. Errors wrap ErrFolder where a folder is not one of a run.
func Folders(ctx context.Context, old, new string, top int) (*Result, error) {
	r := &Result{x: newIndex(), top: top, reaching: map[ground][]part{}}
	var err error
	if r.old, err = openFolder(old); err != nil {
		return nil, err
	}
	if r.new, err = openFolder(new); err != nil {
		return nil, err
	}
	a, err := r.old.openRanking()
	if err != nil {
		return nil, err
	}
	defer a.close()
	b, err := r.new.openRanking()
	if err != nil {
		return nil, err
	}
	defer b.close()
	var hidden []string
	r.facts, hidden = factColumns(a.names, b.names)
	if err := r.x.read(ctx, a, before, r.facts); err != nil {
		return nil, err
	}
	if err := r.x.read(ctx, b, after, r.facts); err != nil {
		return nil, err
	}
	r.evidence = evidence{method: parts(r.old, r.new), hidden: hidden, lessons: r.x.lessons(),
		hashed: slices.Contains(a.names, InputsColumn) && slices.Contains(b.names, InputsColumn), sameFiles: sameInventories(r.old, r.new)}
	for k, name := range workColumns {
		r.works[k] = slices.Contains(a.names, name) && slices.Contains(b.names, name)
	}
	r.find()
	wanted, gone, came := map[string]uint64{}, map[string]bool{}, map[string]bool{}
	for b, differ := range r.x.differ {
		if differ != 0 {
			wanted[r.x.ids[b]] = differ
		}
	}
	for _, c := range r.shown() {
		id, in := r.x.ids[c.building], r.x.in[c.building]
		if !in[after] {
			gone[id] = true
		}
		if !in[before] {
			came[id] = true
		}
	}
	for s, f := range []*folder{r.old, r.new} {
		if r.rejected[s], err = f.rejected([]map[string]bool{came, gone}[s]); err != nil {
			return nil, err
		}
	}
	if len(wanted) == 0 {
		return r, nil
	}
	for s, ranking := range []*ranking{a, b} {
		if r.values[s], err = ranking.facts(ctx, r.facts, wanted); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// find lists what moved, in order of importance.
func (r *Result) find() {
	for s := range r.x.cells {
		for b := range r.x.cells[s] {
			pair := &r.x.cells[s][b]
			o, n := &pair[before], &pair[after]
			if !o.there && !n.there {
				continue
			}
			c := change{building: int32(b), strategy: uint8(s)}
			switch {
			case !o.there || !n.there:
				c.reason, c.class = Added, comesOrGoes
				if o.there {
					c.reason = Removed
				}
				if in := r.x.in[b]; in[before] != in[after] && !o.best && !n.best {
					c.class = comesAlong
				}
			case o.verdict != n.verdict:
				c.class = verdictOfOther
				if o.best || n.best {
					c.class = verdictOfBest
				}
			case o.governing != n.governing || moved(o.share, n.share) || moved(o.chance, n.chance):
				c.class = figuresOnly
			default:
				r.kept++
				continue
			}
			if o.there && n.there {
				c.reason = r.because(c)
				c.step = int8(n.verdict) - int8(o.verdict)
				if d := n.share - o.share; d == d {
					c.share = float32(math.Abs(float64(d)))
				}
			}
			r.changes = append(r.changes, c)
		}
	}
	slices.SortFunc(r.changes, r.order)
}

// order: class, then the larger step of the verdict, worse before better, then
// the larger change of the utilisation, best strategies first, then names.
func (r *Result) order(a, b change) int {
	size := func(s int8) int { return max(int(s), -int(s)) }
	best := func(c change) int {
		pair := &r.x.cells[c.strategy][c.building]
		if pair[before].best || pair[after].best {
			return 0
		}
		return 1
	}
	return cmp.Or(
		cmp.Compare(a.class, b.class), cmp.Compare(size(b.step), size(a.step)), cmp.Compare(b.step, a.step),
		cmp.Compare(b.share, a.share), cmp.Compare(best(a), best(b)),
		strings.Compare(r.x.ids[a.building], r.x.ids[b.building]),
		strings.Compare(r.x.strategies.list[a.strategy], r.x.strategies.list[b.strategy]),
	)
}

func (r *Result) shown() []change {
	if r.top > 0 && len(r.changes) > r.top {
		return r.changes[:r.top]
	}
	return r.changes
}
