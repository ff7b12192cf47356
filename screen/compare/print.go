package compare

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/climate"
	"wallsift/model/indicator"
	"wallsift/model/material"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/results"
)

// Schema is the number of the JSON form. It grows when a key changes its meaning
// or goes; keys may be added without that.
const Schema = 1

// pair is a value in both runs, empty where one has none.
type pair struct{ old, new any }

// String returns one value where both are alike.
func (p pair) String() string {
	old, new := fmt.Sprint(p.old), fmt.Sprint(p.new)
	if old == new {
		return old
	}
	return cmp.Or(old, "(none)") + " → " + cmp.Or(new, "(none)")
}

// MarshalJSON implements json.Marshaler.
func (p pair) MarshalJSON() ([]byte, error) {
	return json.Marshal(map[string]any{"old": p.old, "new": p.new})
}

// figure is a printed number, in JSON null where it is empty or none.
type figure string

// MarshalJSON implements json.Marshaler.
func (f figure) MarshalJSON() ([]byte, error) {
	if !json.Valid([]byte(f)) {
		return []byte("null"), nil
	}
	return []byte(f), nil
}

// whole is a number without decimals, and without a minus before a zero.
func whole(x float64) figure {
	if math.IsNaN(x) {
		return ""
	}
	return figure(strconv.FormatFloat(math.Round(x)+0, 'f', 0, 64))
}

// Print writes the report in a format of config.Formats. The JSON form has all of
// it; in the others lists are cut to top entries, 0 for none. Width is that of the
// terminal, 0 where there is none.
func (r *Report) Print(w io.Writer, format string, top, width int) error {
	if format == "json" {
		return r.json(w)
	}
	buildings := r.buildings
	if n := len(buildings) - top; top > 0 && n > 0 {
		buildings = append(buildings[:top:top], fmt.Sprintf("And %d more; --top 0 prints all.", n))
	}
	var tables []report.Table
	for i, t := range r.tables {
		cut := top
		if i == 0 {
			cut = 0 // the two runs
		}
		if len(t.rows) > 0 {
			l := r.labels
			if format == "csv" {
				l = nil // ids are for programs
			}
			tables = append(tables, t.text(cut, l))
		}
	}
	sentences := r.summary
	if format != "csv" {
		sentences = []string{strings.Join(r.summary, " ")}
	}
	sentences = slices.Concat(sentences, buildings)
	for i, s := range sentences {
		if sentences[i] = ingest.Printable(s); format == "markdown" {
			sentences[i] = report.EscapeMarkdown(sentences[i])
		}
	}
	return report.PrintSummed(w, sentences, tables, format, width)
}

// json writes each table as a list of objects.
func (r *Report) json(w io.Writer) error {
	out := map[string]any{"schema": Schema, "moved": r.Moved, "summary": slices.Concat(r.summary, r.buildings), "caution": report.Caution}
	for _, t := range r.tables {
		rows := []map[string]any{}
		for _, cells := range t.rows {
			row := map[string]any{}
			for i, c := range cells {
				row[t.columns[i]] = c
			}
			rows = append(rows, row)
		}
		out[t.name] = rows
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

// text is the table in words, without the columns that hold nothing; with ids where
// there are no labels.
func (t *table) text(top int, l labels) report.Table {
	out := report.Table{Name: t.name, Title: t.title, Note: t.note}
	rows := t.rows
	if n := len(rows); top > 0 && n > top {
		rows = rows[:top]
		out.Note = strings.TrimSpace(fmt.Sprintf("%s These are the first %d of %d; --top 0 prints all.", t.note, top, n))
	}
	const longest = 80 // characters of a setting, which may be a long list
	out.Rows = make([][]string, len(rows))
	for i, name := range t.columns {
		column := make([]string, len(rows))
		for k, cells := range rows {
			column[k] = ingest.Printable(fmt.Sprint(t.cell(cells, i, l)))
			if r := []rune(column[k]); name == "value" && len(r) > longest {
				column[k] = string(r[:longest]) + " …"
			}
		}
		if strings.Join(column, "") == "" {
			continue
		}
		head := report.Named(name)
		if l != nil {
			head = l.word("column", name)
		}
		out.Columns = append(out.Columns, head)
		for k, s := range column {
			out.Rows[k] = append(out.Rows[k], s)
		}
	}
	return out
}

// cell is one cell of a row, with words in place of ids where there are labels.
func (t *table) cell(cells []any, i int, l labels) any {
	column := t.columns[i]
	switch {
	case l == nil:
		return cells[i]
	case column == "change", column == "value" && t.columns[0] == "fact":
		column = fmt.Sprint(cells[0])
	case l[column] == nil:
		return cells[i]
	}
	return l.cell(column, cells[i])
}

// kWh prints an amount of energy a year.
func kWh(x float64, format string) string {
	return report.Thousands(format, x) + " kWh/a"
}

// summarise says what moved on the whole.
func (j *join) summarise(r *Report, counts, causes tallies, sum [2]totals) {
	say := func(format string, args ...any) { r.summary = append(r.summary, fmt.Sprintf(format, args...)) }
	if !r.Moved {
		say("Nothing moved.")
	}
	count := func(what, one, several string) {
		switch n := counts[key{what}].homes; n {
		case 0:
		case 1:
			say("1 %s.", one)
		default:
			say("%d %s.", n, several)
		}
	}
	count(byFacts, "home has new facts", "homes have new facts")
	count(came, "building is new", "buildings are new")
	count(gone, "building is gone", "buildings are gone")
	if n := len(j.differences); n > 0 {
		var names []string
		for _, d := range j.differences[:min(n, 3)] {
			if d.kind == byWeather {
				d.name = "the weather file of " + d.name
			}
			names = append(names, d.name)
		}
		if n > len(names) {
			names = append(names, fmt.Sprintf("%d more", n-len(names)))
		}
		say("The runs differ in %s.", strings.Join(names, ", "))
	}
	if r.Moved && len(causes) == 0 {
		say("No verdict moved.")
	}
	for _, k := range causes.sorted() {
		by := k[0]
		if by == byMethod {
			by += ": facts, settings and weather files are the same"
		}
		say("%s moved at %s by %s.", report.Counted(causes[k].rows, "verdict"), report.Counted(causes[k].homes, "home"), by)
	}
	count("best", "home has another best strategy", "homes have another best strategy")
	if d := sum[1].kWh - sum[0].kWh; math.Abs(d) >= 0.5 {
		say("Best strategies that are suited save %s in place of %s (%s).", kWh(sum[1].kWh, "%.0f"), kWh(sum[0].kWh, "%.0f"), kWh(d, "%+.0f"))
	}
}

// sentence says what is new at a building and what came of it.
func (c *change) sentence(l labels) string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, f := range c.facts {
		switch {
		case f.Name == unnamed:
			say("%s differs", unnamed)
		case f.New == "":
			say("%s not given any more (was %s)", l.word("column", f.Name), l.word(f.Name, f.Old))
		case f.Old == "":
			say("%s now %s", l.word("column", f.Name), l.word(f.Name, f.New))
		default:
			say("%s now %s (was %s)", l.word("column", f.Name), l.word(f.Name, f.New), l.word(f.Name, f.Old))
		}
	}
	for _, m := range c.moves {
		if now := m.rows[1].of(verdict); now == "" {
			say("%s not judged any more", l.word(compared[strategy].name, m.strategy()))
		} else {
			say("%s now %s", l.word(compared[strategy].name, m.strategy()), now)
		}
	}
	if len(c.moves) == 0 {
		say("no verdict moved")
	}
	if c.otherBest() {
		say("best is now %s", l.word(compared[strategy].name, c.best[1].of(strategy)))
	}
	if math.Abs(c.saved()) >= 0.5 {
		say("%s", kWh(c.saved(), "%+.0f"))
	}
	return c.building + ": " + strings.Join(out, "; ") + "."
}

// labels say what ids are called, by the column that they stand in. The JSON and CSV
// forms keep ids, but for their sentences.
type labels map[string]map[string]string

// newLabels takes them from a configuration, and those of strategies from the two runs
// as well. An id of neither is printed as it is.
func newLabels(cfg *config.Config, folders [2]*results.Folder) labels {
	headings := report.FactHeadings()
	for _, c := range compared {
		headings[c.name] = c.label
	}
	headings["saved_change_kwh_a"] = "saving, change, kWh/a"
	strategies := labelled(cfg.Strategies, func(s config.Strategy) string { return s.Label })
	strategies[screen.WallByWall.ID] = screen.WallByWall.Label
	for _, f := range folders {
		maps.Copy(strategies, f.Manifest.Labels)
	}
	measures, tiers := map[string]string{}, map[string]string{}
	for id := range indicator.Count {
		measures[id.Info().Name] = id.Info().Label
	}
	for _, t := range []indicator.Tier{indicator.Steady, indicator.Transient} {
		tiers[t.String()] = report.JudgedBy(&screen.Judgement{Tier: t})
	}
	steps := labelled(cfg.Steps, func(s config.Step) string { return s.Label })
	climates := labelled(cfg.Stations, func(s climate.Station) string { return s.Label })
	maps.Copy(climates, labelled(cfg.Zones, func(z config.Zone) string { return z.Label }))
	return labels{
		"fact": headings, "column": headings, "what": headings, "facts": {},
		compared[strategy].name: strategies, "best_strategy": strategies, "governing": measures, "tier": tiers,
		"gates": labelled(cfg.Gates, func(g config.Gate) string { return g.Label }), "fix_first": steps, "check_on_site": steps,
		"stone_type": labelled(cfg.Materials, func(m material.Material) string { return m.Label }), zoneColumn: climates,
	}
}

// labelled are the labels of a table's rows.
func labelled[R any](rows map[string]R, label func(R) string) map[string]string {
	out := map[string]string{}
	for id, r := range rows {
		out[id] = label(r)
	}
	return out
}

// word is what a value of a column is called; those of "column" are columns.
func (l labels) word(column, value string) string {
	return cmp.Or(l[column][value], report.Named(value))
}

// cell is a cell of a column, with words in place of ids, also in changes of it such as
// "frost → condensate" or "salts_heavy added".
func (l labels) cell(column string, x any) any {
	switch x := x.(type) {
	case string:
		sides := strings.Split(x, " → ")
		for i, side := range sides {
			id, rest, several := strings.Cut(side, " ")
			if label := l[column][id]; several && label != "" {
				sides[i] = label + ": " + rest
			} else {
				sides[i] = l.word(column, side)
			}
		}
		return strings.Join(sides, " → ")
	case pair:
		return pair{l.cell(column, x.old), l.cell(column, x.new)}
	case list:
		out := make(list, len(x))
		for i, f := range x {
			out[i] = fact{l.word("column", f.Name), l.word(f.Name, f.New), l.word(f.Name, f.Old)}
		}
		return out
	}
	return x
}
