package compare

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Report is what moved between two runs.
type Report struct {
	// Moved is false where the results are the same: every building, verdict,
	// figure, gate and piece of work, and the survey order.
	Moved bool

	summary   []string // sentences on the whole
	buildings []string // a sentence for each building with new facts
	tables    []*table
	labels    *labels
}

// table is one list of the report. Its name and columns are the keys of the JSON
// form, so they stay. Cells are strings, ints, figures, pairs and facts.
type table struct {
	name, title, note string
	columns           []string
	rows              [][]any
}

func (r *Report) table(name, title string, columns ...string) *table {
	t := &table{name: name, title: title, columns: columns}
	r.tables = append(r.tables, t)
	return t
}

func (t *table) row(cells ...any) { t.rows = append(t.rows, cells) }

// key is what rows and homes are counted by.
type key [3]string

// tallies count rows, and homes once each: those of a home come together.
type tallies map[key]tally

type tally struct {
	rows, homes int
	last        string // home
}

func (m tallies) count(home string, k key) {
	t := m[k]
	t.rows++
	if t.homes == 0 || t.last != home {
		t.homes, t.last = t.homes+1, home
	}
	m[k] = t
}

// sorted lists the keys, those of most rows first.
func (m tallies) sorted() []key {
	return slices.SortedFunc(maps.Keys(m), func(a, b key) int {
		return cmp.Or(cmp.Compare(m[b].rows, m[a].rows), slices.Compare(a[:], b[:]))
	})
}

// totals are those of one run. Savings are of the best strategies that are
// suited, where they are known.
type totals struct {
	buildings, saving int
	kWh               float64
}

func (j *join) report(l *labels, folders [2]folder) *Report {
	r := &Report{labels: l}
	causes, steps, ready, still, facts, factsAlone := tallies{}, tallies{}, tallies{}, tallies{}, tallies{}, tallies{}
	var sum [2]totals
	var changes []change
	for _, id := range j.order() {
		b := j.buildings[id]
		for side := range b {
			if len(b[side].rows) > 0 {
				sum[side].buildings++
			}
			if best := j.best(&b[side]); best != nil && j.suited(best) && !math.IsNaN(j.saves(best)) {
				sum[side].saving++
				sum[side].kWh += j.saves(best)
			}
		}
		home := j.home(b)
		c := j.compare(id, func(old, new *row) { j.still(old, new, home, still) })
		for _, m := range c.moves {
			causes.count(home, key{strings.Join(m.causes, " and ")})
			steps.count(home, key{m.cells[0][verdict], m.cells[1][verdict]})
		}
		if old, new := j.best(&b[0]), j.best(&b[1]); old != nil && new != nil && old.cells[readiness] != new.cells[readiness] && j.both("readiness") {
			ready.count(home, key{j.text(old.cells[readiness]), j.text(new.cells[readiness])})
		}
		for _, f := range c.facts {
			facts.count(home, key{f.name, f.old, f.new})
			if len(c.moves) == 0 {
				factsAlone.count(home, key{f.name, f.old, f.new})
			}
		}
		if c.state != changed || len(c.facts)+len(c.moves) > 0 || c.best[0] != c.best[1] {
			changes = append(changes, c)
		}
	}
	r.Moved = len(changes)+len(still)+len(ready) > 0 || !slices.Equal(j.survey[0], j.survey[1]) || !slices.Equal(j.programme[0], j.programme[1])
	j.summarise(r, changes, causes, sum) // homes still come together
	slices.SortFunc(changes, important)
	for _, c := range changes {
		if len(c.facts) > 0 {
			r.buildings = append(r.buildings, c.sentence(l))
		}
	}

	t := r.table("runs", "The two runs", "what", "value")
	t.note = strings.TrimSpace("A building saves where its best strategy is suited, also after repairs, and the amount is known. " + j.notCompared())
	t.row("folder", pair{folders[0].Dir, folders[1].Dir})
	t.row("version", pair{folders[0].Manifest.Version, folders[1].Manifest.Version})
	t.row("buildings", pair{sum[0].buildings, sum[1].buildings})
	t.row("rejected_ids", pair{len(j.rejected[0]), len(j.rejected[1])})
	t.row("buildings_that_save", pair{sum[0].saving, sum[1].saving})
	t.row("saved_kwh_a", pair{whole(sum[0].kWh), whole(sum[1].kWh)})
	t.row("survey_places", pair{len(j.survey[0]), len(j.survey[1])})
	t.row("homes_in_the_programme", pair{len(j.programme[0]), len(j.programme[1])})
	t = r.table("differences", "In what else than facts the runs differ", "kind", "name", "value")
	for _, d := range j.differences {
		t.row(d.kind, d.name, pair{d.old, d.new})
	}
	t = r.table("causes", "Verdicts that moved, by cause", "cause", "verdicts", "homes")
	t.note = "A verdict is that of one building under one strategy. Where several causes are named, each alone may have done it. Method alone: facts, settings and weather files are the same, so it is the program."
	for _, k := range causes.sorted() {
		t.row(k[0], causes[k].rows, causes[k].homes)
	}
	t = r.table("verdict_steps", "Verdicts that moved, from what to what", "verdict", "rows", "homes")
	for _, k := range steps.sorted() {
		t.row(pair{k[0], k[1]}, steps[k].rows, steps[k].homes)
	}
	t = r.table("facts", "Facts that differ", "fact", "value", "homes", "homes_without_moved_verdict")
	for _, k := range facts.sorted() {
		t.row(k[0], pair{k[1], k[2]}, facts[k].homes, factsAlone[k].homes)
	}
	t = r.table("readiness_steps", "Readiness that moved", "readiness", "homes")
	for _, k := range ready.sorted() {
		t.row(pair{k[0], k[1]}, ready[k].homes)
	}
	places(r.table("programme_order", "Programme: what came in, went out or stands elsewhere", "building_id", "order"), j.programme)
	places(r.table("survey_order", "Survey order: what came in, went out or stands elsewhere", "building_id", "visit"), j.survey)
	t = r.table("without_verdict", "What changed without moving a verdict", "column", "change", "rows", "homes")
	for _, k := range still.sorted() {
		t.row(k[0], k[1], still[k].rows, still[k].homes)
	}
	t = r.table("verdicts", "Each verdict that moved", "building_id", "strategy", "verdict", "governing", "utilisation", "chance_low", "chance_high", "insulation_mm", "tier", "cause")
	for i := range changes {
		for _, m := range changes[i].moves {
			t.row(changes[i].building, m.strategy, m.pair(verdict), m.pair(governing), m.pair(utilisation), m.pair(chanceLow), m.pair(chanceHigh), m.pair(insulation), m.pair(tier), strings.Join(m.causes, " and "))
		}
	}
	t = r.table("changes", "Buildings that changed, came or went", "building_id", "home_id", "state", "facts", "best_strategy", "saved_change_kwh_a", "why")
	t.note = "Changed: other facts, a verdict that moved, or another best strategy. Saved is of the best strategy, 0 where it is not suited."
	for _, c := range changes {
		if c.home == c.building {
			c.home = "" // nothing new
		}
		t.row(c.building, c.home, c.state, append(list{}, c.facts...), pair{c.best[0], c.best[1]}, whole(c.saved), c.why)
	}
	return r
}

// order lists the buildings, those of a home together.
func (j *join) order() []word {
	return slices.SortedFunc(maps.Keys(j.buildings), func(a, b word) int {
		return cmp.Or(cmp.Compare(j.home(j.buildings[a]), j.home(j.buildings[b])), cmp.Compare(j.text(a), j.text(b)))
	})
}

func (m *move) pair(column int) pair {
	old, new := m.cells[0][column], m.cells[1][column]
	if compared[column].kind >= 0 {
		return pair{figure(old), figure(new)}
	}
	return pair{old, new}
}

func (j *join) notCompared() string {
	var out []string
	for _, list := range []struct {
		names []string
		what  string
	}{{j.lacking, "Not in both rankings, so not compared"}, {j.hidden, "Facts that are not in both rankings, so that a change of them has no name"}} {
		if len(list.names) > 0 {
			out = append(out, list.what+": "+strings.Join(list.names, ", ")+".")
		}
	}
	return strings.Join(out, " ")
}

// still counts what differs between two rows with one verdict.
func (j *join) still(old, new *row, home string, counts tallies) {
	for k, c := range compared {
		if old.cells[k] != new.cells[k] && j.both(c.names[0]) {
			for _, what := range differs(k, j.text(old.cells[k]), j.text(new.cells[k])) {
				counts.count(home, key{c.names[0], what})
			}
		}
	}
}

// differs says in what way two cells of a column differ.
func differs(column int, a, b string) (out []string) {
	switch was, is := strings.Fields(a), strings.Fields(b); compared[column].kind {
	case words:
		return []string{pair{a, b}.String()}
	case ids:
		for _, id := range was {
			if !slices.Contains(is, id) {
				out = append(out, id+" removed")
			}
		}
		for _, id := range is {
			if !slices.Contains(was, id) {
				out = append(out, id+" added")
			}
		}
		if out == nil {
			return []string{"another order"}
		}
		return out
	}
	more, less := "higher", "lower"
	if column == rank {
		more, less = "moved down", "moved up"
	}
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	switch {
	case errX != nil:
		return []string{"given"}
	case errY != nil:
		return []string{"not given any more"}
	case x < y:
		return []string{more}
	case x > y:
		return []string{less}
	}
	return nil
}

// places fills in the places that differ between two orders.
func places(t *table, orders [2][]string) {
	places := map[string][2]int{}
	for side, list := range orders {
		for i, id := range list {
			p := places[id]
			p[side] = i + 1
			places[id] = p
		}
	}
	for _, id := range slices.Concat(orders[1], orders[0]) {
		if p, left := places[id]; left && p[0] != p[1] {
			t.row(id, pair{place(p[0]), place(p[1])})
		}
		delete(places, id)
	}
}

// place is a place in an order, nothing where it is 0.
func place(n int) figure {
	if n == 0 {
		return ""
	}
	return figure(strconv.Itoa(n))
}

// list is facts in one cell.
type list []fact

func (l list) String() string {
	var out []string
	for _, f := range l {
		out = append(out, f.name+" "+fmt.Sprint(pair{f.old, f.new}))
	}
	return strings.Join(out, "; ")
}
