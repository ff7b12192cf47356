package compare

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/screen/report"
)

// workColumns say what a building waits for and what is to be done there, each
// as ids with blanks between them. They can differ where no verdict does.
var workColumns = [...]string{"gates", "fix_first", "check_on_site"}

// work numbers what the workColumns of one row say.
type work [len(workColumns)]uint16

// item is one id that came into a column, left it, or, with no id, stands there
// in another order.
type item struct {
	column int
	id     string
	change string
}

// between lists what differs between two cells of a column.
func between(column int, old, new string) []item {
	a, b := strings.Fields(old), strings.Fields(new)
	var out []item
	for _, id := range b {
		if !slices.Contains(a, id) {
			out = append(out, item{column, id, "added"})
		}
	}
	for _, id := range a {
		if !slices.Contains(b, id) {
			out = append(out, item{column, id, "removed"})
		}
	}
	if len(out) == 0 {
		out = append(out, item{column, "(order)", "changed"})
	}
	return out
}

// otherWork says whether a row of both runs differs in a column of work that
// both rankings have.
func (r *Result) otherWork(pair *[2]figures) bool {
	if !pair[before].there || !pair[after].there {
		return false
	}
	for k := range workColumns {
		if r.works[k] && pair[before].work[k] != pair[after].work[k] {
			return true
		}
	}
	return false
}

// work counts what came and went in gates and in the work to be done.
func (r *Result) work() report.Table {
	type count struct{ rows, buildings, last int }
	sums, seen := map[item]count{}, map[[3]int][]item{}
	rows, buildings, both := 0, 0, 0
	for b := range r.x.ids {
		here := false
		for _, col := range r.x.cells {
			if b >= len(col) {
				continue
			}
			pair := &col[b]
			if pair[before].there && pair[after].there {
				both++
			}
			if !r.otherWork(pair) {
				continue
			}
			rows++
			here = true
			for k := range workColumns {
				o, n := pair[before].work[k], pair[after].work[k]
				if !r.works[k] || o == n {
					continue
				}
				key := [3]int{k, int(o), int(n)}
				if seen[key] == nil {
					seen[key] = between(k, r.x.lists.list[o], r.x.lists.list[n])
				}
				for _, i := range seen[key] {
					c := sums[i]
					c.rows++
					if c.last != b+1 {
						c.buildings, c.last = c.buildings+1, b+1
					}
					sums[i] = c
				}
			}
		}
		if here {
			buildings++
		}
	}
	t := report.Table{
		Name: "work", Title: fmt.Sprintf("Gates and work that differ: %d of %s in both runs, at %s", rows, report.Counted(both, "row"), report.Counted(buildings, "building")),
		Columns: []string{"column", "what", "change", "rows", "buildings"},
	}
	if rows > 0 {
		t.Rows = append(t.Rows, []string{"any", "", "", strconv.Itoa(rows), strconv.Itoa(buildings)})
	}
	byRows := map[item]int{}
	for i, c := range sums {
		byRows[i] = c.rows
	}
	for _, line := range counted(byRows, func(i item) []string { return []string{workColumns[i.column], i.id, i.change} }) {
		c := sums[item{slices.Index(workColumns[:], line[0]), line[1], line[2]}]
		t.Rows = append(t.Rows, append(line, strconv.Itoa(c.buildings)))
	}
	var lacking []string
	for k, name := range workColumns {
		if !r.works[k] {
			lacking = append(lacking, name)
		}
	}
	if len(lacking) > 0 {
		t.Note = fmt.Sprintf("Not in both rankings, so not compared: %s.", strings.Join(lacking, ", "))
	}
	return t
}
