package report

import (
	"encoding/csv"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		in    string
		width int
		want  string
	}{
		{"one two three", 7, "one two\nthree"},
		{"one two three", 6, "one\ntwo\nthree"},
		{"one two three", 0, "one two three"},
		{"overlongword x", 4, "overlongword\nx"},
		{"é é é", 3, "é é\né"}, // characters, not bytes
		{"", 10, ""},
	} {
		if got := Wrap(c.in, c.width); got != c.want {
			t.Errorf("Wrap(%q, %d) = %q, expected %q", c.in, c.width, got, c.want)
		}
	}
}

// No line is longer than the width unless it is a single word, and no word is
// lost.
func TestWrapKeepsWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zé0-9]{1,12}`)).Draw(t, "words")
		width := rapid.IntRange(1, 40).Draw(t, "width")
		got := Wrap(strings.Join(words, " "), width)
		if !slices.Equal(strings.Fields(got), words) {
			t.Errorf("%q", got)
		}
		for line := range strings.SplitSeq(got, "\n") {
			if len([]rune(line)) > width && strings.Contains(line, " ") {
				t.Errorf("line %q is wider than %d", line, width)
			}
		}
	})
}

func sample(t *rapid.T) Table {
	n := rapid.IntRange(2, 5).Draw(t, "columns")
	text := rapid.StringMatching(`[a-z]{1,8}( [a-z]{1,8}){0,6}`)
	tab := Table{Name: "sample", Title: "Sample"}
	for range n {
		tab.Columns = append(tab.Columns, rapid.StringMatching(`[a-z]{1,8}( [a-z]{1,8}){0,1}`).Draw(t, "column"))
	}
	for range rapid.IntRange(1, 6).Draw(t, "rows") {
		var r []string
		for range n {
			r = append(r, text.Draw(t, "cell"))
		}
		tab.Rows = append(tab.Rows, r)
	}
	return tab
}

// A table fits the terminal where 12 characters a column do, which holds every
// word of the sample.
func TestTablesFitTheTerminal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := sample(t)
		width := rapid.IntRange(12*len(tab.Columns), 160).Draw(t, "width")
		var out strings.Builder
		if err := Print(&out, []Table{tab}, "table", width); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(out.String()) {
			if n := len([]rune(strings.TrimRight(line, " \n"))); n > width {
				t.Errorf("%d characters in a terminal of %d: %q", n, width, line)
			}
		}
		// Every word is there still.
		for _, r := range tab.Rows {
			for _, cell := range r {
				for _, word := range strings.Fields(cell) {
					if !strings.Contains(out.String(), word) {
						t.Errorf("%q is lost in\n%s", word, out.String())
					}
				}
			}
		}
	})
}

// Without a terminal, such as in a log file, no cell is broken.
func TestTablesAreNotWrappedWithoutATerminal(t *testing.T) {
	long := strings.TrimSpace(strings.Repeat("word ", 60))
	tab := Table{Name: "x", Title: "X", Columns: []string{"a", "b"}, Rows: [][]string{{long, "1"}}}
	for _, format := range []string{"table", "markdown"} {
		var out strings.Builder
		if err := Print(&out, []Table{tab}, format, 0); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(out.String(), long) {
			t.Errorf("%s:\n%s", format, out.String())
		}
	}
}

var awkward = []Table{
	{Name: "one", Title: "One", Columns: []string{"id", "why, or \"not\""}, Rows: [][]string{{"a|b", "x, y"}, {"7", "two\nlines"}, {"é", ""}}, Note: "A note."},
	{Name: "none", Title: "None", Columns: []string{"id"}, Rows: nil},
}

func TestPrintJSONRoundTrip(t *testing.T) {
	var out strings.Builder
	if err := Print(&out, awkward, "json", 80); err != nil {
		t.Fatal(err)
	}
	var doc struct{ Tables []Table }
	if err := json.Unmarshal([]byte(out.String()), &doc); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(awkward, doc.Tables); d != "" {
		t.Error(d)
	}
}

func TestPrintCSVRoundTrip(t *testing.T) {
	var out strings.Builder
	if err := Print(&out, awkward, "csv", 80); err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(out.String()))
	r.FieldsPerRecord = -1
	got, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{
		{"table", "id", "why, or \"not\""}, {"one", "a|b", "x, y"}, {"one", "7", "two\nlines"}, {"one", "é", ""},
		{"table", "id"},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// A bar in a cell must not open a new column (GitHub Flavored Markdown, tables).
func TestPrintMarkdownEscapesBars(t *testing.T) {
	for _, line := range markdownRows(t) {
		if n := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|"); n != 3 {
			t.Errorf("%d bars in %q", n, line)
		}
	}
}

// A line break in a cell must not end the row.
func TestPrintMarkdownKeepsRowsWhole(t *testing.T) {
	rows := markdownRows(t)
	if len(rows) < 2+len(awkward[0].Rows) {
		t.Errorf("%d rows", len(rows))
	}
	for _, line := range rows {
		if !strings.HasSuffix(strings.TrimSpace(line), "|") {
			t.Errorf("row is cut: %q", line)
		}
	}
}

// A cell stays text: marks are escaped by a backslash (GitHub Flavored Markdown,
// 6.1: any ASCII punctuation may be).
func TestEscapeMarkdown(t *testing.T) {
	for in, want := range map[string]string{
		"<b>x</b>":           `\<b>x\</b>`,
		"![i](http://y)":     `!\[i](http://y)`,
		"`a|b` *c*":          "\\`a\\|b\\` \\*c\\*",
		`a\|b`:               `a\\\|b`,
		"two\nlines":         "two lines",
		"exterior_rigid 5 %": "exterior_rigid 5 %",
	} {
		if got := EscapeMarkdown(in); got != want {
			t.Errorf("%q is written %q, expected %q", in, got, want)
		}
	}
}

func markdownRows(t *testing.T) []string {
	t.Helper()
	var out strings.Builder
	if err := Print(&out, awkward[:1], "markdown", 0); err != nil {
		t.Fatal(err)
	}
	var rows []string
	for line := range strings.Lines(out.String()) {
		if strings.Contains(line, "|") {
			rows = append(rows, line)
		}
	}
	return rows
}

func TestFixedHasNoNegativeZero(t *testing.T) {
	for _, c := range []struct {
		f    float64
		d    int
		want string
	}{{-0.001, 2, "0.00"}, {-0.4, 0, "0"}, {0, 1, "0.0"}, {-0.006, 2, "-0.01"}, {12.345, 1, "12.3"}} {
		if got := fixed(c.f, c.d); got != c.want {
			t.Errorf("fixed(%v, %d) = %q, expected %q", c.f, c.d, got, c.want)
		}
	}
}
