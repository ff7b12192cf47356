package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"wallsift/ingest"
	"wallsift/screen/report"
)

// tables shows what was found. The rejects are among them unless they go to a
// file in dir.
func (c *checked) tables(dir string) []report.Table {
	tables := []report.Table{c.files(), c.used(), c.missing()}
	if extras := c.src.Names().Extras; len(extras) > 0 {
		t := report.Table{Name: "own", Title: "Columns of your own, which ride through untouched", Columns: []string{"header"}}
		for _, name := range extras {
			t.Rows = append(t.Rows, []string{name})
		}
		tables = append(tables, t)
	}
	if t := c.words.table(); len(t.Rows) > 0 {
		tables = append(tables, t)
	}
	if dir == "" && len(c.rejects.First) > 0 {
		tables = append(tables, c.rejected())
	}
	return tables
}

func (c *checked) files() report.Table {
	t := report.Table{Name: "files", Title: fmt.Sprintf("The inventory: %s can be screened", report.Counted(c.in.Rows, "row")), Columns: []string{"file", "good rows", "rejected rows"}}
	for _, f := range c.src.Names().Files {
		t.Rows = append(t.Rows, []string{f, strconv.Itoa(c.in.Good[f]), strconv.Itoa(c.in.Bad[f])})
	}
	if c.in.BrokenFiles > 0 {
		t.Note = broken(c.in.BrokenFiles) + "; what is wrong is among the rejects."
	}
	return t
}

func (c *checked) used() report.Table {
	t := report.Table{
		Name: "used", Title: "Columns that were used", Columns: []string{"column", "your header", "known at", "share %"},
		Note: "known at: good rows in which the fact is given; unknown counts as not given.",
	}
	for _, col := range ingest.Columns() {
		if h := c.src.ReadFrom(col.Name); len(h) > 0 {
			t.Rows = append(t.Rows, []string{col.Name, strings.Join(h, ", "), strconv.Itoa(c.filled[col.Name]), c.percent(c.filled[col.Name])})
		}
	}
	return t
}

func (c *checked) percent(n int) string {
	if c.in.Rows == 0 {
		return ""
	}
	return strconv.FormatFloat(100*float64(n)/float64(c.in.Rows), 'f', 0, 64)
}

// missing lists the facts that some good row does not give, most often missing
// first.
func (c *checked) missing() report.Table {
	t := report.Table{
		Name: "missing", Title: "Facts that are not given, and what that costs", Columns: []string{"column", "not known at", "share %", "your header", "what it costs there"},
	}
	columns := ingest.Columns()
	slices.SortStableFunc(columns, func(a, b ingest.Column) int { return c.filled[a.Name] - c.filled[b.Name] })
	for i := range columns {
		col := &columns[i]
		n := c.in.Rows - c.filled[col.Name]
		if n <= 0 { // less where homes were refused at the end
			continue
		}
		header := cmp.Or(strings.Join(c.src.ReadFrom(col.Name), ", "), "no such column")
		t.Rows = append(t.Rows, []string{col.Name, strconv.Itoa(n), c.percent(n), header, withoutColumn(c.cfg, col)})
	}
	switch {
	case c.in.Rows == 0:
		t.Note = "No building could be read, so nothing can be said of its facts."
	case len(t.Rows) == 0:
		t.Note = "Every fact is given at every building."
	}
	return t
}

func broken(n int) string {
	if n == 1 {
		return "one file could not be read to its end"
	}
	return fmt.Sprintf("%d files could not be read to their end", n)
}

func (c *checked) rejected() report.Table {
	list := c.rejects.First
	if top := c.cfg.Output.Top; top > 0 && len(list) > top {
		list = list[:top]
	}
	t := report.Table{Name: "rejects", Title: "Rejected", Columns: []string{"file", "line", "building", "column", "value", "what is wrong", "what to do"}}
	for _, r := range list {
		t.Rows = append(t.Rows, r.Cells())
	}
	if len(list) < len(c.rejects.First) || len(c.rejects.First) == report.KeptRejects {
		t.Note = fmt.Sprintf("These are the first %d; --top 0 prints up to %d, --out FOLDER writes all to %s.", len(list), report.KeptRejects, report.RejectsCSV)
	}
	return t
}

// keptWords bounds the different values held for printing.
const keptWords = 200

// unread is one value of one column that could not be read, however often it
// stands there.
type unread struct{ field, header, value, reason string }

type unreadCount struct {
	rows int
	line int64 // the first
}

// words counts the values that could not be read. It is what a mapping is
// written from, so each value counts once however many rows hold it.
type words struct {
	counts map[unread]unreadCount
	more   bool
}

func (w *words) add(r ingest.Reject) {
	key := unread{r.Field, r.Column, r.Value, r.Reason}
	n, met := w.counts[key]
	switch {
	case r.Field == "":
	case !met && len(w.counts) == keptWords:
		w.more = true
	default:
		w.counts[key] = unreadCount{n.rows + 1, cmp.Or(n.line, r.Line)}
	}
}

func (w *words) table() report.Table {
	t := report.Table{
		Name: "words", Title: "Values that could not be read, each once",
		Columns: []string{"field", "your header", "value", "rows", "first line", "what is wrong"},
		Note:    "A word that is right needs a line in input.aliases, such as {field: salts, from: \"a word of yours\", to: heavy}; see wallsift help mapping.",
	}
	for _, k := range w.sorted() {
		if k.value == "" {
			continue // a blank is not a word, though a mapping may give it a meaning
		}
		n := w.counts[k]
		t.Rows = append(t.Rows, []string{k.field, k.header, k.value, strconv.Itoa(n.rows), strconv.FormatInt(n.line, 10), k.reason})
	}
	if w.more {
		t.Note += fmt.Sprintf(" There are more than these %d: map them and check again.", keptWords)
	}
	return t
}

// sorted gives the values by column, most frequent first.
func (w *words) sorted() []unread {
	order := map[string]int{}
	for i, c := range ingest.Columns() {
		order[c.Name] = i
	}
	return slices.SortedFunc(maps.Keys(w.counts), func(a, b unread) int {
		return cmp.Or(order[a.field]-order[b.field], w.counts[b].rows-w.counts[a].rows, cmp.Compare(w.counts[a].line, w.counts[b].line), cmp.Compare(a.value, b.value),
			cmp.Compare(a.header, b.header), cmp.Compare(a.reason, b.reason))
	})
}
