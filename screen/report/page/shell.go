package page

import (
	"bufio"
	"embed"
	"fmt"
	"html/template"
	"path/filepath"
	"strings"

	"wallsift/screen"
	"wallsift/screen/report"
)

//go:embed assets
var assets embed.FS

func asset(name string) string {
	b, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic(err) // embedded at build time
	}
	return string(b)
}

// pages are the templates of both pages.
var pages = template.Must(template.New("").Funcs(template.FuncMap{
	"mark": mark, "readymark": readyMark, "upper": upper, "counted": report.Counted, "bar": bar,
	"text": func(h report.Head, cell any) string { return h.Text(cell) },
	"open": func(g report.Grid) bool { return g.Name == "strategies" || g.Name == "work" },
}).ParseFS(assets, "assets/*.html"))

// mark draws a verdict: its shape says as much as its colour. Only numbers enter
// the markup.
func mark(v screen.Verdict) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="mark v%d" viewBox="0 0 16 16" aria-hidden="true"><use href="#mark%d"/></svg>`, v, v))
}

// readyMark draws a readiness, in ink: it is not a verdict.
func readyMark(r screen.Readiness) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="mark" viewBox="0 0 16 16" aria-hidden="true"><use href="#ready%d"/></svg>`, r))
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// tile counts buildings by the verdict on their best strategy, and beside it by
// readiness.
type tile struct {
	Verdict screen.Verdict
	Help    string
	N       int
	Ready   []readyCount
}

type readyCount struct {
	Ready screen.Readiness
	N     int
}

type barPart struct {
	Verdict int
	Share   template.CSS
}

// bar draws the verdicts that a row counts, nothing where it counts none.
func bar(g report.Grid, row []any) (out []barPart) {
	sum := 0
	for _, share := range []bool{false, true} {
		for i, h := range g.Heads {
			n, ok := row[i].(int)
			switch {
			case !ok || h.Verdict == 0 || n == 0:
			case share:
				out = append(out, barPart{h.Verdict - 1, template.CSS(fmt.Sprintf("%.3f%%", 100*float64(n)/float64(sum)))})
			default:
				sum += n
			}
		}
	}
	return out
}

// shell writes everything that needs no script.
func (w *writer) shell() error {
	run, m, e := w.in.Run, w.in.Manifest, w.in.Engine
	d := struct {
		CSS                                                              template.CSS
		Manifest                                                         *report.Manifest
		Files                                                            []string
		Buildings, Surveyed                                              int
		Tiles                                                            []tile
		Ready                                                            []readyCount
		Together, VerdictRule, ReadyRule, InvestigateRule, AllowanceRule string
		Grids                                                            []report.Grid
		Shown                                                            int
		Units                                                            *report.Units
	}{
		CSS: template.CSS(asset("page.css")), Manifest: m, Buildings: run.Ranks.Len(), Surveyed: run.Surveyed,
		Together: report.Together(e, run), VerdictRule: report.VerdictRule, ReadyRule: report.ReadyRule, InvestigateRule: report.InvestigateRule, AllowanceRule: report.AllowanceRule,
		Shown: len(w.in.Shown), Units: w.units,
	}
	for _, f := range m.Inventories {
		d.Files = append(d.Files, f.Name)
	}
	for v, n := range run.BestBy {
		t := tile{Verdict: screen.Verdict(v), Help: report.VerdictHelp[v], N: n}
		for r, n := range w.in.Trades.Ready[v] {
			if n > 0 {
				t.Ready = append(t.Ready, readyCount{screen.Readiness(r), n})
			}
		}
		d.Tiles = append(d.Tiles, t)
	}
	for r := range screen.NumReadiness {
		d.Ready = append(d.Ready, readyCount{r, w.in.Trades.Sum(r)})
	}
	d.Grids = report.Grids(e, run, w.in.Trades)[1:] // the tiles are the first
	return pages.ExecuteTemplate(w.out, "shell.html", d)
}

// scripts in the order they run.
var scripts = []string{"data.js", "dom.js", "filter.js", "plot.js", "map.js", "matrix.js", "survey.js", "wall.js", "course.js", "card.js", "main.js"}

// script ends the page with its program.
func (w *writer) script() error {
	var b strings.Builder
	b.WriteString("<script>\n(function () {\n\"use strict\";\n")
	for _, name := range scripts {
		b.WriteString(asset(name))
	}
	b.WriteString("}());\n</script>\n</body>\n</html>\n")
	_, err := w.out.WriteString(b.String())
	return err
}

// ProgrammeHTML is the name of the page of a programme.
const ProgrammeHTML = "programme.html"

// WriteProgramme writes programme.html to dir: the sentences and the tables, long
// columns on a line of their own below each row. It prints, and needs no script and
// no network. m is the manifest of the run it was made from.
func WriteProgramme(dir string, m *report.Manifest, grids []report.Grid, sentences []string) error {
	err := report.WriteFile(filepath.Join(dir, ProgrammeHTML), func(out *bufio.Writer) error {
		return pages.ExecuteTemplate(out, "programme.html", struct {
			CSS       template.CSS
			Manifest  *report.Manifest
			Grids     []report.Grid
			Sentences []string
		}{template.CSS(asset("page.css")), m, grids, sentences})
	})
	if err != nil {
		return fmt.Errorf("writing %s: %w", ProgrammeHTML, err)
	}
	return nil
}
