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
	labels    labels
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

// tallies count rows, and homes once each: the rows of a home come together.
type tallies map[key]tally

type tally struct {
	rows, homes int
	last        string // building
}

func (m tallies) count(building string, k key) {
	t := m[k]
	t.rows++
	if t.last != building {
		t.homes, t.last = t.homes+1, building
	}
	m[k] = t
}

// sorted lists the keys, those of most rows first.
func (m tallies) sorted() []key {
	return slices.SortedFunc(maps.Keys(m), func(a, b key) int {
		return cmp.Or(cmp.Compare(m[b].rows, m[a].rows), slices.Compare(a[:], b[:]))
	})
}

// tallied adds a table of counts.
func (r *Report) tallied(name, title string, m tallies, cells func(k key, n tally) []any, columns ...string) *table {
	t := r.table(name, title, columns...)
	for _, k := range m.sorted() {
		t.rows = append(t.rows, cells(k, m[k]))
	}
	return t
}

// totals are those of one run. Savings are of the best strategies that are
// suited, where they are known.
type totals struct {
	buildings, saving int
	kWh               float64
}

func (j *join) report(l labels) *Report {
	r := &Report{labels: l}
	counts, causes, steps, ready, still, facts, factsAlone := tallies{}, tallies{}, tallies{}, tallies{}, tallies{}, tallies{}, tallies{}
	var sum [2]totals
	var changes []change
	byID := func(a, b word) int { return cmp.Compare(a.Value(), b.Value()) }
	for _, id := range slices.SortedFunc(maps.Keys(j.buildings), byID) {
		b := j.buildings[id]
		c := j.compare(id, func(old, new *row) { j.still(old, new, id.Value(), still) })
		for side := range b {
			if len(b[side].rows) > 0 {
				sum[side].buildings++
			}
			if best := c.best[side]; best.suited() && !math.IsNaN(best.saves()) {
				sum[side].saving++
				sum[side].kWh += best.saves()
			}
		}
		if c.state != changed {
			counts.count(c.building, key{c.state})
			changes = append(changes, c)
			continue
		}
		for _, m := range c.moves {
			causes.count(c.building, key{m.causes})
			steps.count(c.building, key{m.rows[0].of(verdict), m.rows[1].of(verdict)})
		}
		if old, new := c.best[0].of(readiness), c.best[1].of(readiness); c.best[0] != nil && c.best[1] != nil && old != new && j.both("readiness") {
			ready.count(c.building, key{old, new})
		}
		for _, f := range c.facts {
			facts.count(c.building, key{f.Name, f.Old, f.New})
			if len(c.moves) == 0 {
				factsAlone.count(c.building, key{f.Name, f.Old, f.New})
			}
		}
		if len(c.facts) > 0 {
			counts.count(c.building, key{byFacts})
		}
		if c.otherBest() {
			counts.count(c.building, key{"best"})
		}
		if len(c.facts)+len(c.moves) > 0 || c.otherBest() {
			changes = append(changes, c)
		}
	}
	r.Moved = len(changes)+len(still)+len(ready) > 0 || !slices.Equal(j.survey[0], j.survey[1]) || !slices.Equal(j.programme[0], j.programme[1])
	j.summarise(r, counts, causes, sum)
	slices.SortFunc(changes, important)
	for _, c := range changes {
		if len(c.facts) > 0 {
			r.buildings = append(r.buildings, c.sentence(l))
		}
	}

	t := r.table("runs", "The two runs", "what", "value")
	t.note = strings.TrimSpace("A building saves where its best strategy is suited, also after repairs, and the amount is known. " + j.notCompared())
	t.row("folder", pair{j.folders[0].Dir, j.folders[1].Dir})
	t.row("version", pair{j.folders[0].Manifest.Version, j.folders[1].Manifest.Version})
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
	t = r.tallied("causes", "Verdicts that moved, by cause", causes, func(k key, n tally) []any { return []any{k[0], n.rows, n.homes} }, "cause", "verdicts", "homes")
	t.note = "A verdict is that of one building under one strategy. Where several causes are named, each alone may have done it. Method alone: facts, settings and weather files are the same, so it is the program."
	r.tallied("verdict_steps", "Verdicts that moved, from what to what", steps, func(k key, n tally) []any { return []any{pair{k[0], k[1]}, n.rows, n.homes} }, "verdict", "rows", "homes")
	r.tallied("facts", "Facts that differ", facts, func(k key, n tally) []any { return []any{k[0], pair{k[1], k[2]}, n.homes, factsAlone[k].homes} }, "fact", "value", "homes", "homes_without_moved_verdict")
	r.tallied("readiness_steps", "Readiness that moved", ready, func(k key, n tally) []any { return []any{pair{k[0], k[1]}, n.homes} }, "readiness", "homes")
	places(r.table("programme_order", "Programme: what came in, went out or stands elsewhere", "building_id", "order"), j.programme)
	places(r.table("survey_order", "Survey order: what came in, went out or stands elsewhere", "building_id", "visit"), j.survey)
	r.tallied("without_verdict", "What changed without moving a verdict", still, func(k key, n tally) []any { return []any{k[0], k[1], n.rows, n.homes} }, "column", "change", "rows", "homes")
	t = r.table("verdicts", "Each verdict that moved", "building_id", "strategy", "verdict", "governing", "utilisation", "chance_low", "chance_high", "insulation_mm", "tier", "cause")
	for _, c := range changes {
		for _, m := range c.moves {
			t.row(c.building, m.strategy(), m.pair(verdict), m.pair(governing), m.pair(utilisation), m.pair(chanceLow), m.pair(chanceHigh), m.pair(insulation), m.pair(tier), m.causes)
		}
	}
	t = r.table("changes", "Buildings that changed, came or went", "building_id", "home_id", "state", "facts", "best_strategy", "saved_change_kwh_a", "why")
	t.note = "Changed: other facts, a verdict that moved, or another best strategy. Saved is of the best strategy, 0 where it is not suited."
	for _, c := range changes {
		// A building is a home: home_id is empty, and stays because keys do.
		t.row(c.building, "", c.state, append(list{}, c.facts...), pair{c.best[0].of(strategy), c.best[1].of(strategy)}, whole(c.saved()), c.why)
	}
	return r
}

func (m *move) pair(column int) pair {
	old, new := m.rows[0].of(column), m.rows[1].of(column)
	if compared[column].kind >= 0 {
		return pair{figure(old), figure(new)}
	}
	return pair{old, new}
}

func (j *join) notCompared() string {
	lacking := []string{inputsColumn}
	for _, c := range compared {
		lacking = append(lacking, c.name)
	}
	var out []string
	if lacking = slices.DeleteFunc(lacking, j.both); len(lacking) > 0 {
		out = append(out, "Not in both rankings, so not compared: "+strings.Join(lacking, ", ")+".")
	}
	if j.hidden != nil {
		out = append(out, "Facts that are not in both rankings, so that a change of them has no name: "+strings.Join(j.hidden, ", ")+".")
	}
	return strings.Join(out, " ")
}

// still counts what differs between two rows with one verdict.
func (j *join) still(old, new *row, building string, counts tallies) {
	for k, c := range compared {
		if old[k] != new[k] && j.both(c.name) {
			for _, what := range differs(k, old.of(k), new.of(k)) {
				counts.count(building, key{c.name, what})
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
		for _, id := range slices.Concat(was, is) {
			switch {
			case !slices.Contains(is, id):
				out = append(out, id+" removed")
			case !slices.Contains(was, id):
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
	places := map[string][2]figure{}
	for side, list := range orders {
		for i, id := range list {
			p := places[id]
			p[side] = figure(strconv.Itoa(i + 1))
			places[id] = p
		}
	}
	for _, id := range slices.Concat(orders[1], orders[0]) {
		if p, left := places[id]; left && p[0] != p[1] {
			t.row(id, pair{p[0], p[1]})
		}
		delete(places, id)
	}
}

// list is facts in one cell.
type list []fact

func (l list) String() string {
	var out []string
	for _, f := range l {
		out = append(out, f.Name+" "+fmt.Sprint(pair{f.Old, f.New}))
	}
	return strings.Join(out, "; ")
}
