package page_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/page"
)

// dom is a parsed page.
type dom struct {
	root *html.Node
	raw  []byte
}

func parsed(t *testing.T, path string) dom {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	root, err := html.Parse(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	return dom{root, raw}
}

// all returns the elements of a tag, or of any when it is empty.
func (d dom) all(tag string) []*html.Node { return under(d.root, tag) }

func under(root *html.Node, tag string) (out []*html.Node) {
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && (tag == "" || n.Data == tag) {
			out = append(out, n)
		}
	}
	return out
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func text(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return b.String()
}

// data reads the JSON of every data element of a class, one row after another.
func (d dom) data(t *testing.T, class string) (rows []json.RawMessage) {
	t.Helper()
	for _, s := range d.all("script") {
		if attr(s, "class") != class {
			continue
		}
		var part []json.RawMessage
		if err := json.Unmarshal([]byte(text(s)), &part); err != nil {
			t.Fatalf("data of class %s: %v", class, err)
		}
		rows = append(rows, part...)
	}
	return rows
}

// Landmarks, headings, tables and labels as WCAG 2.2 asks for (success criteria
// 1.3.1, 2.4.1, 2.4.6, 3.1.1, 4.1.2; from memory).
func TestStructure(t *testing.T) {
	d := parsed(t, written(t, screened(t, demo), madeUp))
	for tag, want := range map[string]int{"h1": 1, "main": 1, "title": 1, "noscript": 1, "form": 1} {
		if got := len(d.all(tag)); got != want {
			t.Errorf("%d elements %s, want %d", got, tag, want)
		}
	}
	if attr(d.all("html")[0], "lang") == "" {
		t.Error("no language is given")
	}
	level, ids := 0, map[string]bool{}
	for _, n := range d.all("") {
		if id := attr(n, "id"); id != "" {
			if ids[id] {
				t.Errorf("id %s is used twice", id)
			}
			ids[id] = true
		}
		if len(n.Data) == 2 && n.Data[0] == 'h' && n.Data[1] >= '1' && n.Data[1] <= '6' {
			now := int(n.Data[1] - '0')
			if now > level+1 {
				t.Errorf("heading %q skips from level %d to %d", text(n), level, now)
			}
			level = now
		}
	}
	for _, n := range d.all("") {
		for _, key := range []string{"for", "aria-labelledby", "aria-describedby"} {
			for _, id := range strings.Fields(attr(n, key)) {
				if !ids[id] {
					t.Errorf("%s of %s names %s, which is not there", key, n.Data, id)
				}
			}
		}
	}
	for _, n := range d.all("table") {
		if len(under(n, "caption")) != 1 {
			t.Error("a table has no caption")
		}
		for _, h := range under(n, "th") {
			if attr(h, "scope") == "" {
				t.Errorf("header %q has no scope", text(h))
			}
		}
	}
	if n := strings.Count(text(d.all("main")[0]), report.Caution); n < 1 {
		t.Error("the caution is missing from the content")
	}
}

// The page must not reach for anything outside itself.
func TestSelfContained(t *testing.T) {
	d := parsed(t, written(t, screened(t, demo), nil))
	for _, n := range d.all("") {
		for _, key := range []string{"src", "href", "action", "srcset", "data"} {
			if v := attr(n, key); v != "" && v[0] != '#' && v != "data:," {
				t.Errorf("%s has %s %q", n.Data, key, v)
			}
		}
	}
	for _, word := range []string{"@import", "url(http", "fetch(", "XMLHttpRequest", "import("} {
		if bytes.Contains(d.raw, []byte(word)) {
			t.Errorf("the page has %q", word)
		}
	}
}

// Every building and strategy of the run is on the page, with its figures.
func TestIndexHoldsTheRun(t *testing.T) {
	in := screened(t, demo)
	d := parsed(t, written(t, in, nil))
	rows, details := d.data(t, "index"), d.data(t, "details")
	if len(rows) != in.Run.Counts.Accepted || len(details) != len(rows) {
		t.Fatalf("%d and %d rows, want %d", len(rows), len(details), in.Run.Counts.Accepted)
	}
	k := 0
	err := in.Run.Each(in.Run.Ranks.Overall, func(i uint32, row *screen.Row) error {
		var r []any
		if err := json.Unmarshal(rows[k], &r); err != nil {
			return err
		}
		k++
		if r[0] != row.Building.ID || r[5].(float64) != float64(row.Judgements[0].Strategy) || r[6] != nil || r[10] != float64(report.Ready(in.Engine, row)) {
			t.Fatalf("row %d is %v, want building %s, best strategy %d, nothing drawn", k, r[:8], row.Building.ID, row.Judgements[0].Strategy)
		}
		figures := r[9].([]any)
		for _, j := range row.Judgements {
			f := figures[8*int(j.Strategy):]
			verdict := float64(j.Verdict)
			for bit, on := range map[float64]bool{8: j.Excluded, 16: j.Near, 32: j.Bare} {
				if on {
					verdict += bit
				}
			}
			if f[0].(float64) != verdict || f[1].(float64) != float64(in.Run.Ranks.In(j.Strategy, i)) || f[4] != nil || f[5] != nil || f[6] != nil {
				t.Errorf("%s, strategy %d: %v, want verdict %g, rank %d, no chance", row.Building.ID, j.Strategy, f[:8], verdict, in.Run.Ranks.In(j.Strategy, i))
			}
			if got := f[2].(float64) / 10; got < j.Saved-0.051 || got > j.Saved+0.051 {
				t.Errorf("%s, strategy %d: saves %g, want %g", row.Building.ID, j.Strategy, got, j.Saved)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestSameBytes(t *testing.T) {
	var pages [2][]byte
	for k := range pages {
		pages[k] = parsed(t, written(t, screened(t, demo), madeUp)).raw
	}
	if !bytes.Equal(pages[0], pages[1]) {
		t.Error("equal runs give other bytes")
	}
}

// What was not drawn is said to be so, and a chance is told as a range.
func TestNotDrawn(t *testing.T) {
	in := screened(t, demo)
	plain := parsed(t, written(t, in, nil))
	if !strings.Contains(text(plain.all("main")[0]), "this run did not do so") {
		t.Error("the survey order does not say that nothing was drawn")
	}
	with := parsed(t, written(t, in, madeUp))
	if !regexp.MustCompile(`worst year of ten: \d+–\d+ %`).Match(with.raw) {
		t.Error("no range of a chance is told of a run with draws")
	}
}

// Every strategy's dangers are on the page, and the warned one is said to be no
// advice; the first tiles say readiness beside verdicts.
func TestCautionsAreOnThePage(t *testing.T) {
	in := screened(t, demo)
	main := text(parsed(t, written(t, in, nil)).all("main")[0])
	for _, s := range in.Engine.Strategies() {
		if s.Caution == "" || !strings.Contains(main, s.Caution) || !strings.Contains(main, s.Warning) {
			t.Errorf("%s: no caution", s.ID)
		}
	}
	for v, help := range report.VerdictHelp {
		if !strings.Contains(main, screen.Verdict(v).String()+help) {
			t.Errorf("no tile for %v", screen.Verdict(v))
		}
	}
}

// Layers on cards are those the working of the building shows.
func TestStackIsTheExplainedWall(t *testing.T) {
	in := screened(t, demo)
	err := in.Run.Each(in.Run.Ranks.Overall[:40], func(_ uint32, row *screen.Row) error {
		for _, st := range in.Engine.Strategies() {
			w, err := in.Engine.Explain([]ingest.Building{row.Building}, 0, st.ID)
			if err != nil {
				return err
			}
			before, after := in.Engine.Stack(&row.Building, &w.Judgement)
			if before.N != w.Before.N || after.N != w.After.N {
				t.Fatalf("%s, %s: %d and %d layers, want %d and %d", row.Building.ID, st.ID, before.N, after.N, w.Before.N, w.After.N)
			}
			for i, l := range after.Layers[:after.N] {
				if x := w.After.Layers[i]; l.Material != x.Material || l.Thickness != x.Thickness || l.Role != x.Role {
					t.Errorf("%s, %s, layer %d: %v, want %s %g", row.Building.ID, st.ID, i, l, x.Material.Label, x.Thickness)
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A page that cannot be written leaves nothing behind.
func TestNoFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "none")
	if err := page.Write(dir, screened(t, demo)); err == nil || !strings.Contains(err.Error(), page.HTML) {
		t.Errorf("error %v does not name %s", err, page.HTML)
	}
}
