package compare

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/screen/report"
)

// Tables returns the comparison for people: the two runs, sums, then rows.
func (r *Result) Tables() []report.Table {
	return []report.Table{r.runs(), r.verdicts(), r.best(), r.reasons(), r.rows()}
}

func (r *Result) runs() report.Table {
	t := report.Table{Name: "runs", Title: "The two runs", Columns: []string{"what", "old", "new", "same"}}
	add := func(what, a, b string) {
		same := "yes"
		switch {
		case a == "" || b == "":
			same = "not known"
		case a != b:
			same = "no"
		}
		t.Rows = append(t.Rows, []string{what, a, b, same})
	}
	t.Rows = append(t.Rows, []string{"folder", r.old.dir, r.new.dir, ""})
	for _, k := range methodKeys {
		if r.old.manifest[k.key] != nil || r.new.manifest[k.key] != nil {
			add(k.label, r.old.said(k.key), r.new.said(k.key))
		}
	}
	hashes := func(f *folder) string {
		list, ok := f.inventories()
		if !ok {
			return ""
		}
		for i := range list {
			list[i] = short(list[i])
		}
		return strings.Join(list, " ")
	}
	add("inventory files", hashes(r.old), hashes(r.new))
	var n [2]int
	for _, in := range r.x.in {
		for s := range in {
			if in[s] {
				n[s]++
			}
		}
	}
	add("buildings", strconv.Itoa(n[before]), strconv.Itoa(n[after]))
	if !r.evidence.complete && !r.evidence.sameFiles {
		t.Note = "The rankings do not show every fact of the inventory; a change of one they do not show cannot be told from other reasons."
	}
	return t
}

// counted turns sums by words into rows, largest first.
func counted[K comparable](sums map[K]int, words func(K) []string) [][]string {
	type line struct {
		cells []string
		n     int
	}
	var list []line
	for k, n := range sums {
		list = append(list, line{words(k), n})
	}
	slices.SortFunc(list, func(a, b line) int { return cmp.Or(cmp.Compare(b.n, a.n), slices.Compare(a.cells, b.cells)) })
	var out [][]string
	for _, l := range list {
		out = append(out, append(l.cells, strconv.Itoa(l.n)))
	}
	return out
}

func (r *Result) verdicts() report.Table {
	sums := map[[2]uint8]int{}
	total := 0
	for _, c := range r.changes {
		if pair := r.x.cells[c.strategy][c.building]; c.class <= verdictOfOther {
			sums[[2]uint8{pair[before].verdict, pair[after].verdict}]++
			total++
		}
	}
	words := r.x.verdicts.list
	return report.Table{
		Name: "verdicts", Title: fmt.Sprintf("Verdicts that moved: %d of %d", total, r.kept+len(r.changes)), Columns: []string{"old", "new", "rows"},
		Rows: counted(sums, func(k [2]uint8) []string { return []string{words[k[before]], words[k[after]]} }),
		Note: "A row is one building under one strategy.",
	}
}

// best sums up how the best strategy of buildings in both runs changed.
func (r *Result) best() report.Table {
	sums, total, met := map[[2]string]int{}, 0, 0
	for b, in := range r.x.in {
		if !in[before] || !in[after] {
			continue
		}
		met++
		var first [2]string
		for s, col := range r.x.cells {
			for k := range first {
				if b < len(col) && col[b][k].best {
					first[k] = r.x.strategies.list[s]
				}
			}
		}
		if first[before] != first[after] {
			sums[first]++
			total++
		}
	}
	return report.Table{
		Name: "best", Title: fmt.Sprintf("Buildings whose best strategy changed: %d of %d", total, met), Columns: []string{"old", "new", "buildings"},
		Rows: counted(sums, func(k [2]string) []string { return k[:] }),
	}
}

func (r *Result) reasons() report.Table {
	var verdicts, others [numReasons]int
	for _, c := range r.changes {
		if c.class <= verdictOfOther {
			verdicts[c.reason]++
		} else {
			others[c.reason]++
		}
	}
	t := report.Table{
		Name: "reasons", Title: fmt.Sprintf("Why %d rows moved; %d did not", len(r.changes), r.kept), Columns: []string{"reason", "verdict moved", "other"},
		Note: "other: figures moved and the verdict did not, or the row is in one run only.",
	}
	for k := range numReasons {
		if verdicts[k]+others[k] > 0 {
			t.Rows = append(t.Rows, []string{k.String(), strconv.Itoa(verdicts[k]), strconv.Itoa(others[k])})
		}
	}
	return t
}

func (r *Result) rows() report.Table {
	t := report.Table{Name: "rows", Title: "What moved, most important first", Columns: []string{"building", "strategy"}}
	cells := []struct {
		name string
		get  func(*figures) string
	}{
		{"verdict", func(f *figures) string { return r.x.verdicts.list[f.verdict] }},
		{"governing", func(f *figures) string { return r.x.governing.list[f.governing] }},
		{"utilisation", func(f *figures) string { return printed(f.share) }},
	}
	if r.x.chances { // else two columns of nothing
		cells = append(cells, cells[2])
		cells[3].name, cells[3].get = "chance", func(f *figures) string { return printed(f.chance) }
	}
	for _, c := range cells {
		t.Columns = append(t.Columns, "old "+c.name, "new "+c.name)
	}
	t.Columns = append(t.Columns, "reason", "what differs")
	for _, c := range r.shown() {
		pair := &r.x.cells[c.strategy][c.building]
		row := []string{r.x.ids[c.building], r.x.strategies.list[c.strategy]}
		for _, cell := range cells {
			for s := range pair {
				text := ""
				if pair[s].there {
					text = cell.get(&pair[s])
				}
				row = append(row, text)
			}
		}
		t.Rows = append(t.Rows, append(row, c.reason.String(), r.differs(c)))
	}
	if n := len(t.Rows); n < len(r.changes) {
		t.Note = fmt.Sprintf("These are the first %d of %d; --top 0 prints all.", n, len(r.changes))
	}
	return t
}

func printed(f float32) string {
	if f != f {
		return ""
	}
	return strconv.FormatFloat(float64(f), 'f', 3, 32)
}

// differs names what differs behind a change: facts with both values, parts of
// the method, the tier of the row.
func (r *Result) differs(c change) string {
	pair := &r.x.cells[c.strategy][c.building]
	if in := r.x.in[c.building]; in[before] != in[after] {
		return "building"
	} else if !pair[before].there || !pair[after].there {
		return "strategy"
	}
	var out []string
	id := r.x.ids[c.building]
	value := func(s side, k int) string {
		if list := r.values[s][id]; list != nil && list[k] != "" {
			return list[k]
		}
		return "(none)"
	}
	for k, name := range r.facts {
		if r.x.differ[c.building]&(1<<k) != 0 {
			out = append(out, fmt.Sprintf("%s %s → %s", name, value(before, k), value(after, k)))
		}
	}
	if in := r.x.inputs[c.building]; len(out) == 0 && in[before] != 0 && in[after] != 0 && in[before] != in[after] {
		out = append(out, "a fact that the rankings do not show")
	}
	out = append(out, r.evidence.method...)
	if a, b := pair[before].tier, pair[after].tier; a != b {
		out = append(out, fmt.Sprintf("judged by tier %s → %s", r.x.tiers.list[a], r.x.tiers.list[b]))
	}
	return strings.Join(out, "; ")
}
