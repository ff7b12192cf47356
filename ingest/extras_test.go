package ingest

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Columns of one file that differ only in case, spaces or punctuation are
// different columns of the results, under names that no reader takes for one.
func TestExtrasOfOneFileStayApart(t *testing.T) {
	for _, c := range []struct {
		headers []string // of one file each, separated by commas
		names   string
		cells   [][]string // of the row of each file, whose cells are its headers
	}{
		{[]string{"Note,note,NOTE"}, "Note,note (2),NOTE (3)", [][]string{{"Note", "note", "NOTE"}}},
		{[]string{"Ref,Ref,Ref (2)"}, "Ref,Ref (3),Ref (2)", [][]string{{"Ref", "Ref", "Ref (2)"}}},
		{[]string{"A b,a_b,%,%"}, "A b,a_b (2),%,% (2)", [][]string{{"A b", "a_b", "%", "%"}}},
		// The next file's columns find the one that was spelt the same, then
		// the one that folds the same.
		{[]string{"Note,note", "note,Note", "NOTE", "x,NOTE,note"}, "Note,note (2),x", [][]string{{"Note", "note"}, {"Note", "note"}, {"NOTE"}, {"NOTE", "note", "x"}}},
		{[]string{"Ref,Ref", "Ref (2)"}, "Ref,Ref (2),Ref (2) (2)", [][]string{{"Ref", "Ref"}, {"", "", "Ref (2)"}}},
	} {
		dir := t.TempDir()
		for i, h := range c.headers {
			name := string(rune('a' + i))
			if err := os.WriteFile(filepath.Join(dir, name+".csv"), []byte(table(requiredHeader+","+h, row(name, h))), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		res := readAll(t, testOptions, dir)
		if got := strings.Join(res.extras, ","); got != c.names || len(res.rejects) > 0 {
			t.Errorf("%q: columns %s, expected %s; %+v", c.headers, got, c.names, res.rejects)
		}
		for i, want := range c.cells {
			if !slices.Equal(res.rows[i].Extra, want) {
				t.Errorf("%q: file %d has %q, expected %q", c.headers, i, res.rows[i].Extra, want)
			}
		}
	}
	res := readText(t, testOptions, table(requiredHeader+",Note,note", row("a", "1", "2")))
	if len(res.notes) != 1 || !strings.Contains(res.notes[0], `column "note" has the name of another column; it rides through as "note (2)"`) {
		t.Errorf("notes %q", res.notes)
	}
}
