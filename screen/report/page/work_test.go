package page_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report"
)

func spelled(parts ...string) string { return strings.Join(parts, " | ") }

// element reads the data element of an id.
func (d dom) element(t *testing.T, id string, to any) {
	t.Helper()
	for _, s := range d.all("script") {
		if attr(s, "id") == id {
			if err := json.Unmarshal([]byte(text(s)), to); err != nil {
				t.Fatal(err)
			}
			return
		}
	}
	t.Fatalf("the page has no %s", id)
}

// lists gives the work lists by building as the page is to have them, in order of
// place, with readiness. The lines are those of worklist.csv by report's own tests.
func lists(t *testing.T, in report.Results) (ids []string, ready map[string]string, lines map[string][]string) {
	t.Helper()
	ready, lines = map[string]string{}, map[string][]string{}
	err := in.Run.Each(in.Run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		id := row.Building.ID
		r, objects := report.WorkLines(in.Engine, row, screen.ForWork(row.Judgements), &row.Survey)
		var list []struct {
			Action                                   screen.Action
			Stage, Work, Layer, Caution, Why, Blocks string
		}
		if text, err := json.Marshal(objects); err != nil || json.Unmarshal(text, &list) != nil {
			t.Fatal(err, objects)
		}
		ids, ready[id] = append(ids, id), r.String()
		for _, l := range list {
			lines[id] = append(lines[id], spelled(l.Action.String(), l.Stage, l.Work, l.Layer, l.Caution, l.Why, l.Blocks))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return ids, ready, lines
}

// The work list, its cautions and the readiness on the card of every building are
// those of the files.
func TestCardsHaveTheWorkList(t *testing.T) {
	for name, of := range map[string]func() (*config.Loaded, *screen.Engine){"si": engine, "ip": engineIP} {
		l, e := of()
		in := screenedBy(t, l, e, demo)
		d := parsed(t, written(t, in, nil))
		ids, ready, lines := lists(t, in)
		var book struct{ Ready []string }
		d.element(t, "book", &book)
		rows := d.rows(t)
		if len(ids) != len(rows) {
			t.Fatalf("%s: %d buildings, want %d", name, len(rows), len(ids))
		}
		for k, id := range ids {
			first := rows[k]["list"].([]any)[0].(map[string]any)
			of := first["answer"].(map[string]any)["ready"].(float64)
			if got := book.Ready[int(rows[k]["ready"].(float64))]; rows[k]["id"] != id || got != ready[id] || book.Ready[int(of)] != got {
				t.Errorf("%s: %v is %s, %v; want %s %s", name, rows[k]["id"], got, of, id, ready[id])
			}
			var got []string
			for _, l := range first["works"].([]any) {
				l := l.(map[string]any)
				parts := []string{screen.Action(l["Action"].(float64)).String()}
				for _, key := range []string{"Stage", "Work", "Layer", "Caution", "Why", "Blocks"} {
					parts = append(parts, l[key].(string))
				}
				got = append(got, spelled(parts...))
			}
			if !slices.Equal(got, lines[id]) {
				t.Errorf("%s, %s: the page has\n%s\nwant\n%s", name, id, strings.Join(got, "\n"), strings.Join(lines[id], "\n"))
			}
		}
	}
}

// The tables over the portfolio are those that are printed, and the tiles count
// buildings by verdict and readiness.
func TestGlanceIsWhatIsPrinted(t *testing.T) {
	for name, of := range map[string]func() (*config.Loaded, *screen.Engine){"si": engine, "ip": engineIP} {
		l, e := of()
		in := screenedBy(t, l, e, demo)
		d := parsed(t, written(t, in, nil))
		found := map[string][][]string{}
		for _, n := range d.all("table") {
			_, class, _ := strings.Cut(attr(n, "class"), " ")
			for _, r := range append(under(under(n, "tbody")[0], "tr"), under(n, "tfoot")...) {
				row := []string{text(under(r, "bdi")[0])}
				for _, c := range under(r, "td") {
					if attr(c, "class") != "wide" {
						row = append(row, text(c))
					}
				}
				found[class] = append(found[class], row)
			}
		}
		for _, g := range report.Grids(e, in.Run, in.Trades)[1:] {
			if fmt.Sprint(found[g.Name]) != fmt.Sprint(g.Table().Rows) {
				t.Errorf("%s: %s is\n%v\nwant\n%v", name, g.Name, found[g.Name], g.Table().Rows)
			}
		}
		for _, n := range d.all("ul") {
			if attr(n, "class") != "tiles" {
				continue
			}
			for v, tile := range under(n, "li") {
				said := text(tile)
				if !strings.HasPrefix(strings.TrimSpace(said), fmt.Sprint(in.Run.BestBy[v])+" "+screen.Verdict(v).String()) {
					t.Errorf("%s: tile %q", name, said)
				}
				for r, n := range in.Trades.Ready[v] {
					if n > 0 && !strings.Contains(said, fmt.Sprintf(" %d %v", n, screen.Readiness(r))) {
						t.Errorf("%s: tile %q lacks %d %v", name, said, n, screen.Readiness(r))
					}
				}
			}
		}
		if glance := text(d.all("section")[0]); !strings.Contains(glance, report.Together(e, in.Run)) {
			t.Errorf("%s: the page does not say %q", name, report.Together(e, in.Run))
		}
	}
}

// With the script cards have the same lists, other strategies say whose list it
// is, and the filter knows readiness.
func TestWorkListInChromium(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	b := chromium(t)
	in := screened(t, demo)
	path := written(t, in, nil)
	b.open(path, 1366, true)
	ids, ready, lines := lists(t, in)
	for k, id := range ids[:5] {
		var want []string
		for _, l := range lines[id] {
			p := strings.Split(l, " | ")
			want = append(want, strings.TrimRight(spelled(p[1], p[0], p[2], p[3], p[4]), " |"))
		}
		b.same(fmt.Sprintf(`Array.from(document.querySelectorAll(".card")[%d].querySelectorAll(".works li li")).map(e => [e.closest("ol").parentNode.querySelector(".stage"), e.querySelector(".act"), e.querySelector(".what"), e.querySelector(".layer"), e.querySelector(".warn")].map(x => x ? x.textContent.replace("Caution: ", "") : "").join(" | ").replace(/[ |]+$/, "")).join("\n")`, k), strings.Join(want, "\n"))
		b.same(fmt.Sprintf(`document.querySelectorAll(".card")[%d].querySelector(".chip").textContent.trim()`, k), ready[id])
	}
	b.eval(`(function () { var s = document.querySelector(".card select"); s.selectedIndex = 1; s.dispatchEvent(new Event("change")); }())`)
	b.same(`document.querySelector(".card .works").closest("div").textContent.includes("not the list that the building has in `+report.WorkListCSV+`")`, true)
	b.same(`document.querySelector(".card .chip").textContent.includes("with this strategy: ")`, true)
	var n [screen.NumReadiness]int
	for _, r := range ready {
		for k := range n {
			if screen.Readiness(k).String() == r {
				n[k]++
			}
		}
	}
	for k := range n {
		b.eval(fmt.Sprintf(`(function () { var e = document.getElementById("f-ready"); e.value = %d; e.dispatchEvent(new Event("change")); }())`, k))
		b.same(`document.getElementById("f-count").textContent`, fmt.Sprintf("%d of %d buildings.", n[k], in.Run.Counts.Accepted))
	}
	b.eval(`document.getElementById("f-clear").click()`)
	// Hidden words in wide tables must not widen the page.
	b.open(written(t, in, fewFacts), 390, true)
	b.same(`document.documentElement.scrollWidth <= 390`, true)
	for _, e := range b.errors {
		t.Errorf("the console reports %s", e)
	}
}

// fewFacts leaves empty cells in the survey order, as real runs do.
func fewFacts(i uint32, row *screen.Row) {
	madeUp(i, row)
	if i%2 == 0 {
		row.Survey.Facts = row.Survey.Facts[:min(1, len(row.Survey.Facts))]
	}
}
