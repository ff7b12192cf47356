package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"wallsift/ingest"
	"wallsift/screen/report"
)

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
	counts map[unread]*unreadCount
	more   bool
}

func (w *words) add(r ingest.Reject) {
	if r.Field == "" {
		return
	}
	key := unread{r.Field, r.Column, r.Value, r.Reason}
	n := w.counts[key]
	if n == nil {
		if len(w.counts) == keptWords {
			w.more = true
			return
		}
		n = &unreadCount{line: r.Line}
		w.counts[key] = n
	}
	n.rows++
}

// table lists the values by column, most frequent first.
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
