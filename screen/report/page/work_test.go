package page_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/page"
)

// sharedData is what rows of the page name by its place.
type sharedData struct {
	Lines, Stages, Lists [][]int
	Words                []string
}

// list spells a work list of the page: a text for each line, its stage in front.
func (s *sharedData) list(n int) (out []string) {
	for _, k := range s.Lists[n] {
		r := s.Stages[k]
		for _, k := range r[1:] {
			l := s.Lines[k]
			out = append(out, spelled(s.Words[r[0]], screen.Action(l[0]).String(), s.Words[l[1]], s.Words[l[2]], s.Words[l[3]], s.Words[l[4]]))
		}
	}
	return out
}

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

// lists gives the work lists of report.Works by building, in order of place.
func lists(t *testing.T, in page.Input) (ids []string, ready map[string]string, lines map[string][]string) {
	t.Helper()
	w := report.NewWorks(in.Engine, in.Run)
	at := map[string]int{}
	for i, f := range w.Fields() {
		at[f.Name] = i
	}
	ready, lines = map[string]string{}, map[string][]string{}
	err := w.Each(func(b *ingest.Building, values []any) error {
		word := func(name string) string {
			s, _ := values[at[name]].(string)
			return s
		}
		figure := func(name string) string {
			x, ok := values[at[name]].(float64)
			if !ok {
				return ""
			}
			f := w.Fields()[at[name]]
			s := strconv.FormatFloat(x, 'f', f.Decimals, 64)
			if strings.Contains(s, ".") {
				s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
			}
			return s + " " + f.Unit
		}
		// Place, thickness and the most of it are one text on the page.
		layer := word("layer")
		if x := figure("thickness_mm"); x != "" {
			layer += "; " + x
		}
		if x := figure("thickness_most_mm"); x != "" {
			layer += " as judged; at most " + x
			if by := word("limited_by"); by != "" {
				layer += ", then " + by
			} else {
				layer += ", all of the range"
			}
		}
		if len(ids) == 0 || ids[len(ids)-1] != b.ID {
			ids = append(ids, b.ID)
		}
		ready[b.ID] = word("readiness")
		lines[b.ID] = append(lines[b.ID], spelled(word("stage"), word("action"), word("work"), layer, word("why"), word("holds_up")))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return ids, ready, lines
}

// The work list and the readiness on the card of every building, and on the
// plain cards, are those of report.Works.
func TestCardsHaveTheWorkList(t *testing.T) {
	for name, of := range map[string]func() (*config.Loaded, *screen.Engine){"si": engine, "ip": engineIP} {
		l, e := of()
		in := screenedBy(t, l, e, demo)
		d := parsed(t, written(t, in, nil))
		ids, ready, lines := lists(t, in)
		var shared sharedData
		d.element(t, "shared", &shared)
		var book struct{ Ready []string }
		d.element(t, "book", &book)
		index, details := d.data(t, "index"), d.data(t, "details")
		if len(ids) != len(index) {
			t.Fatalf("%s: %d buildings, want %d", name, len(index), len(ids))
		}
		for k, id := range ids {
			var row, more []any
			if err := json.Unmarshal(index[k], &row); err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal(details[k], &more); err != nil {
				t.Fatal(err)
			}
			first := more[5].([]any)[0].([]any)
			if got := book.Ready[int(row[9].(float64))]; row[0] != id || got != ready[id] || book.Ready[int(first[1].(float64))>>2] != got {
				t.Errorf("%s: %v is %s, %v; want %s %s", name, row[0], got, first[1], id, ready[id])
			}
			if got := shared.list(int(first[3].(float64))); !slices.Equal(got, lines[id]) {
				t.Errorf("%s, %s: the page has\n%s\nwant\n%s", name, id, strings.Join(got, "\n"), strings.Join(lines[id], "\n"))
			}
		}
		for _, a := range d.all("article") {
			id := text(under(a, "h3")[0])
			if got := plainList(a); !slices.Equal(got, lines[id]) {
				t.Errorf("%s, plain card of %s:\n%s\nwant\n%s", name, id, strings.Join(got, "\n"), strings.Join(lines[id], "\n"))
			}
			if !strings.Contains(text(a), "Readiness: "+ready[id]) {
				t.Errorf("%s: the plain card of %s does not say %q", name, id, ready[id])
			}
		}
	}
}

// plainList reads the work list off a plain card.
func plainList(card *html.Node) (out []string) {
	for _, list := range under(card, "ol") {
		if attr(list, "class") != "works" {
			continue
		}
		number := 1
		for _, lines := range under(list, "ol") {
			stage := ""
			for _, b := range under(lines.Parent, "b") {
				if attr(b, "class") == "stage" {
					stage = text(b)
				}
			}
			if attr(lines, "start") != strconv.Itoa(number) {
				out = append(out, "numbered from "+attr(lines, "start")+", want "+strconv.Itoa(number))
			}
			for _, li := range under(lines, "li") {
				number++
				parts := map[string]string{}
				for _, n := range append(under(li, "b"), under(li, "span")...) {
					parts[attr(n, "class")] = text(n)
				}
				for _, n := range under(li, "small") {
					label, said, _ := strings.Cut(text(n), ": ")
					parts[label] = said
				}
				out = append(out, spelled(stage, parts["act"], parts["what"], parts["layer"], parts["Why"], parts["Holds up"]))
			}
		}
	}
	return out
}

// The sums over the portfolio are those of the printed tables.
func TestGlanceCountsTheWork(t *testing.T) {
	for name, of := range map[string]func() (*config.Loaded, *screen.Engine){"si": engine, "ip": engineIP} {
		l, e := of()
		in := screenedBy(t, l, e, demo)
		trades, err := report.WriteWorks(t.TempDir(), e, in.Run)
		if err != nil {
			t.Fatal(err)
		}
		printed := trades.Table(e)
		d := parsed(t, written(t, in, nil))
		tables := 0
		for _, n := range d.all("table") {
			if attr(n, "class") != "stages" {
				continue
			}
			tables++
			var rows [][]string
			for _, r := range under(under(n, "tbody")[0], "tr") {
				row := []string{text(under(r, "th")[0])}
				for _, c := range under(r, "td") {
					row = append(row, text(c))
				}
				rows = append(rows, row)
			}
			if fmt.Sprint(rows) != fmt.Sprint(printed.Rows) {
				t.Errorf("%s: stages\n%v\nwant\n%v", name, rows, printed.Rows)
			}
		}
		if tables != 1 {
			t.Errorf("%s: %d tables of stages", name, tables)
		}
		var tiles [screen.NumReadiness]int
		found := 0
		for _, n := range d.all("li") {
			if attr(n, "class") == "tile ready" {
				tiles[found], _ = strconv.Atoi(text(under(n, "b")[0]))
				if got := text(under(n, "span")[0]); got != screen.Readiness(found).String() {
					t.Errorf("%s: tile %d is %q", name, found, got)
				}
				found++
			}
		}
		if tiles != trades.Ready {
			t.Errorf("%s: %v buildings by readiness, want %v", name, tiles, trades.Ready)
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
	d := parsed(t, path)
	b.open(path, 1366, true)
	for k, a := range d.all("article")[:5] {
		b.same(fmt.Sprintf(`Array.from(document.querySelectorAll(".card")[%d].querySelectorAll(".works li li")).map(e => [e.closest("ol").parentNode.querySelector(".stage"), e.querySelector(".act"), e.querySelector(".what"), e.querySelector(".layer")].map(x => x ? x.textContent : "").join(" | ")).join("\n")`, k),
			strings.Join(cut(plainList(a), 4), "\n"))
	}
	b.eval(`(function () { var s = document.querySelector(".card select"); s.selectedIndex = 1; s.dispatchEvent(new Event("change")); }())`)
	b.same(`document.querySelector(".card .works").closest("div").textContent.includes("not the list that the building has in `+report.WorkListCSV+`")`, true)
	b.same(`document.querySelector(".card .chip").textContent.includes("With this strategy: ")`, true)
	_, ready, _ := lists(t, in)
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
		for k := 1; k < len(row.Survey.Facts); k++ {
			row.Survey.Facts[k] = screen.Fact{Field: -1}
		}
	}
}

// cut keeps the first n parts of spelled lines.
func cut(lines []string, n int) (out []string) {
	for _, l := range lines {
		out = append(out, strings.Join(strings.Split(l, " | ")[:n], " | "))
	}
	return out
}
