package compare

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"wallsift/screen/report"
)

const noColumn = "a fact that is not in both rankings"

// fact is a fact that differs, with both values.
type fact struct{ name, old, new string }

// tally counts buildings with other facts, those of them where no verdict
// moved, and those of these where gates or work differ.
type tally struct{ buildings, still, work int }

func (t *tally) add(u tally) {
	t.buildings += u.buildings
	t.still += u.still
	t.work += u.work
}

// inputs counts the buildings of both runs whose facts differ, whether or not a
// verdict moved.
func (r *Result) inputs() report.Table {
	sums, total, met := map[fact]tally{}, tally{}, 0
	for b, in := range r.x.in {
		if !in[before] || !in[after] {
			continue
		}
		met++
		if !r.x.input(int32(b)) {
			continue
		}
		one := r.still(b)
		total.add(one)
		for _, f := range r.differing(int32(b)) {
			sum := sums[f]
			sum.add(one)
			sums[f] = sum
		}
	}
	t := report.Table{
		Name: "inputs", Title: fmt.Sprintf("Buildings whose facts differ: %d of %d in both runs", total.buildings, met),
		Columns: []string{"fact", "old", "new", "buildings", "no verdict moved", "of these work differs"},
	}
	if total.buildings == 0 {
		return t
	}
	add := func(f fact, n tally) {
		t.Rows = append(t.Rows, []string{f.name, f.old, f.new, strconv.Itoa(n.buildings), strconv.Itoa(n.still), strconv.Itoa(n.work)})
	}
	add(fact{name: "any"}, total)
	if r.top > 0 {
		sums = frequent(sums)
	}
	for _, f := range ordered(sums) {
		add(f, sums[f])
	}
	t.Note = total.sentence()
	return t
}

// still tallies one building whose facts differ.
func (r *Result) still(b int) tally {
	moved, work := false, false
	for _, col := range r.x.cells {
		if b < len(col) {
			pair := &col[b]
			moved = moved || pair[before].there && pair[after].there && pair[before].verdict != pair[after].verdict
			work = work || r.otherWork(pair)
		}
	}
	switch {
	case moved:
		return tally{1, 0, 0}
	case work:
		return tally{1, 1, 1}
	}
	return tally{1, 1, 0}
}

// sentence says what the tally means.
func (t tally) sentence() string {
	out := report.Counted(t.buildings, "building") + " have other facts; "
	if t.buildings == 1 {
		out = "1 building has other facts; "
	}
	switch t.still {
	case 0:
		return out + "a verdict moved at each."
	case t.buildings:
		out += "no verdict moved"
	default:
		out += fmt.Sprintf("at %d of them no verdict moved", t.still)
	}
	switch t.work {
	case 0:
		return out + ", and neither gates nor work differ there."
	case t.still:
		return out + ", but the gates or the work to be done differ there."
	}
	return out + fmt.Sprintf(", but at %d of these the gates or the work to be done differ.", t.work)
}

// differing lists the facts of a building of both runs that differ.
func (r *Result) differing(b int32) []fact {
	var out []fact
	id := r.x.ids[b]
	value := func(s side, i int) string {
		if list := r.values[s][id]; i < len(list) && list[i] != "" {
			return list[i]
		}
		return "(none)"
	}
	for k, name := range r.facts {
		if r.x.differ[b]&(1<<k) != 0 {
			out = append(out, fact{name, value(before, len(out)), value(after, len(out))})
		}
	}
	if len(out) == 0 && r.x.input(b) {
		out = append(out, fact{name: noColumn})
	}
	return out
}

// ordered lists facts, those of most buildings first.
func ordered(sums map[fact]tally) []fact {
	var out []fact
	for f := range sums {
		out = append(out, f)
	}
	slices.SortFunc(out, func(a, b fact) int {
		return cmp.Or(cmp.Compare(sums[b].buildings, sums[a].buildings), cmp.Compare(a.name, b.name), cmp.Compare(a.old, b.old), cmp.Compare(a.new, b.new))
	})
	return out
}

// frequent keeps the most frequent pairs of values of each fact and sums up the
// rest, which for a measured fact may be as many as there are buildings.
func frequent(sums map[fact]tally) map[fact]tally {
	const few = 5
	out, kept, rest := map[fact]tally{}, map[string]int{}, map[string][]fact{}
	for _, f := range ordered(sums) {
		if kept[f.name]++; kept[f.name] <= few {
			out[f] = sums[f]
		} else {
			rest[f.name] = append(rest[f.name], f)
		}
	}
	for name, list := range rest {
		other := fact{name, "(others)", "(others)"}
		if len(list) == 1 {
			other = list[0]
		}
		var sum tally
		for _, f := range list {
			sum.add(sums[f])
		}
		out[other] = sum
	}
	return out
}
