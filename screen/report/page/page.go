// Package page writes report.html, the results as one page for people: it needs
// no network and no other file, works with a keyboard and a screen reader, and
// prints. It computes nothing and decides nothing; what was not judged or drawn is
// said to be so. Text from an inventory is data on the page, never markup or script.
//
// It is written in the units the run was asked for, its data too: the script
// converts nothing, and puts sentences and work lists together from
// clauses and lines of package report.
//
// The map needs no tiles: it is homes by their coordinates, to scale, homes too
// close to tell apart under one mark, so that 20,000 of them stay legible.
//
// The overview is plain HTML. Buildings are data that the page's own script reads: a
// row of values each, whose names stand once, and a pool of what rows share. A page
// whose script may not run says where else they stand.
package page

import (
	"bufio"
	"embed"
	"fmt"
	"html/template"
	"path/filepath"

	"wallsift/screen"
	"wallsift/screen/report"
)

// HTML is the name of the file.
const HTML = "report.html"

// writer makes one page.
type writer struct {
	in            report.Results
	each          report.Each // Run.Each outside of tests
	out           *bufio.Writer
	stones, zones map[string]string // labels
	names         map[string][]any  // of the values of rows
	pool          pool
	units         report.Units
}

// Write writes report.html to dir. Rows are streamed; memory holds one of them and
// what they share. The same run gives the same bytes.
func Write(dir string, in report.Results) error { return write(dir, in, in.Run.Each) }

func write(dir string, in report.Results, rows report.Each) error {
	w := &writer{in: in, each: rows, units: report.UnitsOf(in.Engine), names: map[string][]any{}, pool: pool{at: map[string]int{}}}
	opt := in.Engine.InputOptions()
	w.stones, w.zones = report.Labels(opt.Stones), report.Labels(opt.Zones)
	return report.WriteFile(filepath.Join(dir, HTML), func(out *bufio.Writer) error {
		w.out = out
		for _, part := range []func() error{w.shell, w.book, w.buildings, w.shared, w.script} {
			if err := part(); err != nil {
				return err
			}
		}
		return nil
	})
}

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
var pages = template.Must(template.New("").Option("missingkey=error").Funcs(template.FuncMap{
	"upper": report.Capital, "counted": report.Counted, "bar": bar,
	"text":      func(h report.Head, cell any) string { return h.Text(cell) },
	"open":      func(g report.Grid) bool { return g.Name == "strategies" || g.Name == "work" },
	"verdict":   func(v int) screen.Verdict { return screen.Verdict(v) },
	"help":      func(v int) string { return report.VerdictHelp[v] },
	"readiness": func(r int) screen.Readiness { return screen.Readiness(r) },
}).ParseFS(assets, "assets/*.html"))

// bar is the share that each verdict has of those that a row counts, nothing where
// it counts none.
func bar(g report.Grid, row []any) map[int]template.CSS {
	of, sum := map[int]int{}, 0
	for i, h := range g.Heads {
		if n, ok := row[i].(int); ok && h.Verdict > 0 && n > 0 {
			of[h.Verdict-1] = n
			sum += n
		}
	}
	out := map[int]template.CSS{}
	for v, n := range of {
		out[v] = template.CSS(fmt.Sprintf("%.3f%%", 100*float64(n)/float64(sum)))
	}
	return out
}

// shell writes everything that needs no script.
func (w *writer) shell() error {
	run, e := w.in.Run, w.in.Engine
	return pages.ExecuteTemplate(w.out, "shell.html", map[string]any{
		"CSS": template.CSS(asset("page.css")), "Manifest": w.in.Manifest, "Run": run, "Trades": w.in.Trades, "IP": w.units == report.IP, "Heat": report.Heat[w.units],
		"Buildings": run.Ranks.Len(), "Shown": len(w.in.Shown), "Together": report.Together(e, run),
		"VerdictRule": report.VerdictRule, "ReadyRule": report.ReadyRule, "InvestigateRule": report.InvestigateRule, "AllowanceRule": report.AllowanceRule,
		"Grids": report.Grids(e, run, w.in.Trades)[1:], // the tiles are the first
	})
}

// scripts in the order they run.
var scripts = []string{"data.js", "dom.js", "filter.js", "plot.js", "map.js", "matrix.js", "survey.js", "wall.js", "course.js", "card.js", "main.js"}

// script ends the page with its program.
func (w *writer) script() error {
	w.out.WriteString("<script>\n(function () {\n\"use strict\";\n")
	for _, name := range scripts {
		w.out.WriteString(asset(name))
	}
	_, err := w.out.WriteString("}());\n</script>\n</body>\n</html>\n")
	return err
}

// ProgrammeHTML is the name of the page of a programme.
const ProgrammeHTML = "programme.html"

// WriteProgramme writes programme.html to dir: the sentences and the tables, long
// columns on a line of their own below each row. It prints, and needs no script and
// no network. m is the manifest of the run it was made from.
func WriteProgramme(dir string, m *report.Manifest, grids []report.Grid, sentences []string) error {
	return report.WriteFile(filepath.Join(dir, ProgrammeHTML), func(out *bufio.Writer) error {
		return pages.ExecuteTemplate(out, "programme.html", map[string]any{
			"CSS": template.CSS(asset("page.css")), "Manifest": m, "Grids": grids, "Sentences": sentences,
		})
	})
}
