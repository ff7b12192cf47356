package page_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
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

// rows reads the buildings of a page, each with its values by name, as its script does:
// judgements in the list and by strategy, what is shared in place of its place.
func (d dom) rows(t *testing.T) (out []map[string]any) {
	t.Helper()
	var shared struct {
		Names map[string][]string
		Pool  []any
	}
	var rows [][]any
	d.element(t, "shared", &shared)
	d.element(t, "buildings", &rows)
	named := func(kind string, values []any) map[string]any {
		row := map[string]any{}
		for i, name := range shared.Names[kind] {
			row[name] = values[i]
			if place, ok := values[i].(float64); ok && slices.Contains([]string{"answer", "works", "stack", "range"}, name) {
				row[name] = shared.Pool[int(place)]
			}
		}
		return row
	}
	for _, values := range rows {
		row := named("building", values)
		list, by := row["list"].([]any), map[int]map[string]any{}
		for i := range list {
			j := named("judgement", list[i].([]any))
			for _, name := range []string{"works", "stack"} {
				places := slices.Clone(j[name].([]any)) // a list may be that of many rows
				for k, place := range places {
					places[k] = shared.Pool[int(place.(float64))]
				}
				j[name] = places
			}
			list[i], by[int(j["strategy"].(float64))] = j, j
		}
		row["by"] = by
		out = append(out, row)
	}
	return out
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
	rows := d.rows(t)
	if len(rows) != in.Run.Counts.Accepted {
		t.Fatalf("%d rows, want %d", len(rows), in.Run.Counts.Accepted)
	}
	k := 0
	err := in.Run.Each(in.Run.Ranks.Overall, func(i uint32, row *screen.Row) error {
		r := rows[k]
		k++
		list := r["list"].([]any)
		if r["id"] != row.Building.ID || list[0].(map[string]any)["strategy"] != float64(row.Judgements[0].Strategy) || r["wrong"] != nil || r["ready"] != float64(report.Ready(in.Engine, row)) || len(list) != len(row.Judgements) {
			t.Fatalf("row %d is %v, want building %s, best strategy %d, nothing drawn", k, r, row.Building.ID, row.Judgements[0].Strategy)
		}
		for _, j := range row.Judgements {
			f := r["by"].(map[int]map[string]any)[int(j.Strategy)]
			answer := f["answer"].(map[string]any)
			if answer["verdict"] != float64(j.Verdict) || answer["byRule"] != j.Excluded || answer["near"] != j.Near || answer["words"] != report.VerdictWords(in.Engine, &j) ||
				f["rank"] != float64(in.Run.Ranks.In(j.Strategy, i)) || f["chances"] != nil || f["range"] != "" {
				t.Errorf("%s, strategy %d: %v, want %v, rank %d, no chance", row.Building.ID, j.Strategy, f, j.Verdict, in.Run.Ranks.In(j.Strategy, i))
			}
			if got := f["saved"].(float64); got < j.Saved-0.051 || got > j.Saved+0.051 {
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
