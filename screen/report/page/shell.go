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
