package compare

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"wallsift/screen"
	"wallsift/screen/report"
)

// Tables returns the comparison for people: the two runs, sums, then rows.
func (r *Result) Tables() []report.Table {
	out := []report.Table{r.runs(), r.settings(), r.verdicts(), r.best(), r.inputs(), r.work(), r.reasons(), r.rows()}
	for i := range out {
		if out[i].Rows == nil {
			out[i].Rows = [][]string{} // a list in JSON too
		}
	}
	return out
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
	old, okOld := r.old.weather()
	new, okNew := r.new.weather()
	for _, id := range slices.Sorted(maps.Keys(join(old, new))) {
		sum := func(files map[string]screen.WeatherFile, ok bool) string {
			if w := files[id]; w.SHA256 != "" {
				return short(w.SHA256)
			} else if ok {
				return "(none)"
			}
			return ""
		}
		add("weather file of "+id, sum(old, okOld), sum(new, okNew))
	}
	var n [2]int
	for _, in := range r.x.in {
		for s := range in {
			if in[s] {
				n[s]++
			}
		}
	}
	add("buildings", strconv.Itoa(n[before]), strconv.Itoa(n[after]))
	t.Note = strings.Join(r.caveats(), " ")
	return t
}

// caveats say what cannot be seen from the two folders.
func (r *Result) caveats() []string {
	var out []string
	if h := r.evidence.hidden; len(h) > 0 && !r.evidence.sameFiles {
		said := "not seen"
		if r.evidence.hashed {
			said = "seen but not named"
		}
		out = append(out, fmt.Sprintf("Not in both rankings, so that a change of them is %s: %s.", said, strings.Join(h, ", ")))
	}
	if a, b := r.old.said("revision"), r.new.said("revision"); a == b && (a == "" || strings.HasSuffix(a, "changes")) && r.old.said("version") == r.new.said("version") {
		out = append(out, "The builds do not say which source they are of, so a change of the program itself is seen by its version alone.")
	}
	return out
}

// settings lists what differs in the configuration, with both values.
func (r *Result) settings() report.Table {
	t := report.Table{Name: "settings", Title: "Settings that differ", Columns: []string{"setting", "old", "new"}}
	changed, known := changedSettings(r.old, r.new)
	for _, p := range changed {
		t.Rows = append(t.Rows, []string{p.key, p.old, p.new})
	}
	if known && len(t.Rows) == 0 && r.old.said(configurationKey) != r.new.said(configurationKey) {
		t.Note = "The configurations differ in nothing that moves a figure but what stands above: in tier, seed or weather, in how lists are read, in words, or in where results go."
	}
	if !known {
		t.Note = "One of the runs does not say its settings; whether they differ is seen by the hash of the configuration alone."
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
	total, both := 0, r.kept
	for _, c := range r.changes {
		if c.reason != Added && c.reason != Removed {
			both++
		}
		if pair := r.x.cells[c.strategy][c.building]; c.class <= verdictOfOther {
			sums[[2]uint8{pair[before].verdict, pair[after].verdict}]++
			total++
		}
	}
	words := r.x.verdicts.list
	return report.Table{
		Name: "verdicts", Title: fmt.Sprintf("Verdicts that moved: %d of %d in both runs", total, both), Columns: []string{"old", "new", "rows"},
		Rows: counted(sums, func(k [2]uint8) []string { return []string{words[k[before]], words[k[after]]} }),
		Note: "A row is one building under one strategy.",
	}
}

// best sums up how the best strategy of buildings in both runs changed.
func (r *Result) best() report.Table {
	sums, some, total, met := map[[2]string]int{}, map[[2]string][]string{}, 0, 0
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
			const few = 3 // are named
			if len(some[first]) < few {
				some[first] = append(some[first], r.x.ids[b])
			}
		}
	}
	t := report.Table{
		Name: "best", Title: fmt.Sprintf("Buildings whose best strategy changed: %d of %d in both runs", total, met), Columns: []string{"old", "new", "buildings", "such as"},
		Rows: counted(sums, func(k [2]string) []string { return k[:] }),
	}
	for i, row := range t.Rows {
		t.Rows[i] = append(row, strings.Join(some[[2]string{row[0], row[1]}], " "))
	}
	return t
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
		Name: "reasons", Title: fmt.Sprintf("Why %s moved; %d did not", report.Counted(len(r.changes), "row"), r.kept), Columns: []string{"reason", "verdict moved", "other"},
		Note: "A row moved where its verdict, governing measure, utilisation or chance did, figures by half of the last digit that is printed; gates and work are counted above, allowances, savings and ranks are not looked at. other: the verdict did not move, or the row is in one run only.",
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
