package page

import (
	"embed"
	"fmt"
	"html/template"
	"maps"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/model/indicator"
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

var shell = template.Must(template.New("shell.html").Funcs(template.FuncMap{
	"mark": mark, "readymark": readyMark, "upper": upper, "number": strconv.Itoa, "counted": report.Counted,
}).ParseFS(assets, "assets/shell.html"))

// mark draws a verdict: its shape says as much as its colour. Only numbers enter
// the markup.
func mark(v screen.Verdict) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="mark v%d" viewBox="0 0 16 16" aria-hidden="true"><use href="#mark%d"/></svg>`, v, v))
}

// readyMark draws a readiness, in ink: it is not a verdict.
func readyMark(r screen.Readiness) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="mark" viewBox="0 0 16 16" aria-hidden="true"><use href="#ready%d"/></svg>`, r))
}

type glance struct {
	Label, Summary, Warning string
	Counts                  []count
	Best                    int
	Mean                    string
}

type count struct {
	Verdict screen.Verdict
	N       int
	Share   template.CSS // of a bar
}

type group struct {
	Key    string
	N      int
	Counts []count
}

// maxGroups bounds the table of groups.
const maxGroups = 40

func (w *writer) counts(by [screen.NumVerdicts]int) (out []count, sum int) {
	for _, n := range by {
		sum += n
	}
	for v, n := range by {
		out = append(out, count{screen.Verdict(v), n, template.CSS(fixed(100*float64(n)/float64(max(sum, 1)), 3) + "%")})
	}
	return out, sum
}

// shell writes everything that needs no script.
func (w *writer) shell() error {
	run, m := w.in.Run, w.in.Manifest
	d := struct {
		CSS                               template.CSS
		Title, Version, Tier              string
		Caution, TierCaution, RankingRule string
		Notes, Files                      []string
		Buildings, Rejected, Broken       int
		Best, Verdicts                    []count
		Strategies                        []glance
		Groups                            []group
		MoreGroups                        int
		GroupsCut                         bool
		Work                              work
		ReadyRule                         string
		Steps                             []stepRow
		Visits                            []visit
		Address                           string // heading of the address in Visits
		Sampled                           int
		Cards                             []card
		Courses                           int
		FewCourses                        bool
		Units                             report.Units
		Repairs                           string
		Ranking, Parquet                  string
	}{
		CSS: template.CSS(asset("page.css")), Title: "Retrofit screening", Version: m.Version, Tier: m.Tier,
		Caution: m.Caution, TierCaution: m.TierCaution, RankingRule: w.units.Prose(m.Ranking), Notes: m.Notes,
		Buildings: run.Ranks.Len(), Rejected: run.Counts.Rejected, Broken: run.Counts.BrokenFiles,
		GroupsCut: run.GroupsCut, Courses: w.courses, FewCourses: w.courses < len(w.strategies),
		ReadyRule: report.ReadyRule, Units: w.units, Ranking: report.RankingCSV, Parquet: report.RankingParquet,
	}
	if w.repairsRefused() {
		d.Repairs = report.RepairsNote(w.in.Engine)
	}
	for _, f := range m.Inventories {
		d.Files = append(d.Files, f.Name)
	}
	d.Best, _ = w.counts(run.BestBy)
	for i, s := range w.strategies {
		g := glance{Label: s.Label, Summary: w.units.Prose(s.Summary), Warning: w.units.Prose(s.Warning), Best: run.Best[i], Mean: "none suited"}
		g.Counts, _ = w.counts(run.Verdicts[i])
		if n := run.Verdicts[i][screen.Suited] + run.Verdicts[i][screen.SuitedAfterRepairs]; n > 0 {
			g.Mean = w.units.Heat.Text(run.Saved[i] / float64(n))
		}
		d.Strategies = append(d.Strategies, g)
	}
	keys := slices.Sorted(maps.Keys(run.Groups))
	for _, key := range keys[:min(len(keys), maxGroups)] {
		g := group{Key: key}
		g.Counts, g.N = w.counts(*run.Groups[key])
		d.Groups = append(d.Groups, g)
	}
	d.MoreGroups = len(keys) - len(d.Groups)
	for i, s := range w.in.Engine.StepsOf(^uint64(0)) {
		if n := run.Steps[i]; n.Do+n.Check > 0 {
			d.Steps = append(d.Steps, stepRow{s.Label, w.units.Prose(s.Reason), n.Do, n.Check})
		}
	}
	var err error
	if d.Work, err = w.work(); err != nil {
		return err
	}
	if w.address >= 0 {
		d.Address = run.ExtraColumns()[w.address]
	}
	if d.Visits, d.Sampled, err = w.visits(); err != nil {
		return err
	}
	if d.Cards, err = w.cards(); err != nil {
		return err
	}
	return shell.Execute(w.out, d)
}

// repairsRefused says whether a strategy without insulation is not suited anywhere.
func (w *writer) repairsRefused() bool {
	for i, s := range w.strategies {
		if s.Side == config.SideNone && w.in.Run.Verdicts[i][screen.NotSuited] > 0 {
			return true
		}
	}
	return false
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

type stepRow struct {
	Label, Reason string
	Do, Check     int
}

func limitInfo(j *screen.Judgement, id int) indicator.Info { return indicator.ID(id).In(j.Tier) }

// scripts in the order they run.
var scripts = []string{"data.js", "dom.js", "filter.js", "plot.js", "matrix.js", "survey.js", "wall.js", "course.js", "card.js", "main.js"}

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
