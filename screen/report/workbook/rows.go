package workbook

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"wallsift/ingest"
	"wallsift/screen/report"
	"wallsift/screen/results"
)

// Names of sheets.
const (
	rankingName = "Ranking"
	allName     = "All strategies"
	worksName   = "Work list"
	surveyName  = "Survey"
	rejectsName = "Rejects"
)

// rankings writes the best strategy of each building with the columns that print
// on a page, and of the buildings that are shown every strategy with every column.
func (b *book) rankings() error {
	best := report.Ranking(b.in.Engine, b.in.Run, true)
	if err := b.sheetOf(rankingName, best, report.View{Best: true, Brief: true}); err != nil {
		return err
	}
	return b.sheetOf(allName, best, report.View{Places: b.in.Shown}, b.fewer())
}

func (b *book) works() error {
	return b.sheetOf(worksName, report.Works(b.in.Engine, b.in.Run), report.View{Brief: true, Places: b.in.Shown}, b.fewer())
}

func (b *book) survey() error {
	return b.sheetOf(surveyName, b.in.Visits.Rows(true), report.View{Brief: true})
}

// fewer says that a sheet does not hold all buildings.
func (b *book) fewer() string {
	if len(b.in.Shown) == b.in.Run.Ranks.Len() {
		return ""
	}
	return fmt.Sprintf("%d of %s, those at the tops of the rankings (output.full_homes). The sheet %s has the best strategy of each, %s all rows.", len(b.in.Shown), report.Counted(b.in.Run.Ranks.Len(), "building"), rankingName, report.RankingParquet)
}

// Widths of columns of text, in characters.
const (
	widest = 40 // up to which a column fits its values
	folded = 44 // of long text, broken into lines
)

// sheetOf writes rows of a file with the columns that hold something and stand in
// short lists, but for the sheet that has all: first where the building is, so that
// a printed sheet can be carried there.
func (b *book) sheetOf(name string, r *report.Rows, view report.View, notes ...string) error {
	filled, widths := make([]bool, len(r.Columns)), make([]int, len(r.Columns))
	rows := 0
	if err := r.Each(view, func(_ *ingest.Building, values []any) error {
		rows++
		for i, v := range values {
			if filled[i] = filled[i] || v != nil; v != nil && rows <= 200 { // a stream has to name widths before it has seen its rows
				widths[i] = max(widths[i], 2+utf8.RuneCountInString(fmt.Sprint(v)))
			}
		}
		return nil
	}); err != nil {
		return err
	}
	var first, rest []int
	for i := range r.Columns {
		c := &r.Columns[i]
		switch {
		case c.Name == "building_id" || c.Name == report.AddressName:
			first = append(first, i)
		case (filled[i] || rows == 0) && (c.Brief || !view.Brief):
			rest = append(rest, i)
		}
	}
	from := append(first, rest...)
	heads := make([]head, len(from))
	for k, i := range from {
		c := &r.Columns[i]
		heads[k] = head{title: c.Heading(), kind: c.Kind, decimals: c.Decimals, look: c.Look, user: c.Inventory, width: float64(min(widest, widths[i]))}
		// Rows of the sheet of all columns stay low. Elsewhere what is long gets room,
		// and the whole sheet stays legible on paper.
		if c.Kind == report.Text && widths[i] > 20 && name != allName {
			heads[k].wrap, heads[k].width = true, float64(min(folded, 14+widths[i]/8))
		}
	}
	s := b.open(name, len(first), heads)
	if name == rankingName { // about as many cells as the sheet of all strategies
		s.most = min(s.most, 20*b.in.Engine.Config().Output.FullHomes)
	}
	row := make([]any, len(from))
	if err := r.Each(view, func(_ *ingest.Building, values []any) error {
		for k, i := range from {
			row[k] = values[i]
		}
		s.add(row...)
		return s.failed
	}); err != nil {
		return err
	}
	return s.close(append(notes, r.Note)...)
}

// overview writes the tables over the portfolio.
func (b *book) overview() error {
	names := map[string]string{"glance": "Overview", "strategies": "Strategies", "work": "Work by stage", "groups": "Groups", "repairs": "Repairs", "facts": "Facts"}
	c := b.in.Run.Counts
	return b.grids(report.Grids(b.in.Engine, b.in.Run, b.in.Trades), names, nil,
		fmt.Sprintf("%s screened, %s rejected, see the sheet %s.", report.Counted(c.Accepted, "building"), report.Counted(c.Rejected, "row"), rejectsName), b.in.Manifest.Caution, b.in.Manifest.TierCaution,
		"How to read the sheets, the limits with their sources and what was left out: see the sheet "+notesName+".")
}

// grids writes tables, each on the sheet that names gives its name, and lines before and
// behind the note of the first.
func (b *book) grids(grids []report.Grid, names map[string]string, before []string, behind ...string) error {
	for i, g := range grids {
		notes := []string{g.Note}
		if i == 0 {
			notes = slices.Concat(before, notes, behind)
		}
		if err := b.grid(names[g.Name], g, notes...); err != nil {
			return err
		}
	}
	return nil
}

// grid writes one table on a sheet of its own, with lines of text below it.
func (b *book) grid(name string, g report.Grid, notes ...string) error {
	heads := make([]head, len(g.Heads))
	for i := range g.Heads {
		h := &g.Heads[i]
		heads[i] = head{title: h.Title, look: h.Look, user: h.Inventory, width: 16}
		switch {
		case h.Number && h.Decimals == 0:
			heads[i].kind = report.Whole
		case h.Number:
			heads[i].kind, heads[i].decimals = report.Real, h.Decimals
		default:
			wide := 0
			for _, row := range g.Rows {
				wide = max(wide, 2+utf8.RuneCountInString(h.Text(row[i])))
			}
			if heads[i].width = float64(wide); wide > 64 {
				heads[i].width, heads[i].wrap = folded, true
			}
		}
	}
	s := b.open(name, 1, heads)
	for _, row := range g.Rows {
		s.add(row...)
	}
	return s.close(append([]string{foot(&g)}, notes...)...)
}

// foot is the sums of a table as a line: a row of the table would be sorted and filtered
// with the others.
func foot(g *report.Grid) string {
	var out []string
	for i, x := range g.Foot {
		if text := g.Heads[i].Text(x); text != "" && i > 0 {
			out = append(out, g.Heads[i].Title+" "+text)
		}
	}
	if out == nil {
		return ""
	}
	return "In all: " + strings.Join(out, "; ") + "."
}

// ProgrammeXLSX is the name of the workbook of a programme.
const ProgrammeXLSX = "programme.xlsx"

// WriteProgramme writes programme.xlsx to dir: each table on the sheet that names
// gives its name, the first one with the sentences below it. m is the manifest of
// the run it was made from. The same tables give the same bytes.
func WriteProgramme(dir string, m *report.Manifest, grids []report.Grid, names map[string]string, sentences []string) error {
	b := &book{ctx: context.Background(), in: report.Results{Manifest: m}, title: "Programme of homes"}
	_, err := b.write(dir, ProgrammeXLSX, func() error { return b.grids(grids, names, sentences, m.Caution, m.TierCaution) })
	return err
}

// rejects writes the rows that were left out, as rejects.csv has them: in memory
// there are only the first.
func (b *book) rejects(path string) error {
	var heads []head
	for _, name := range report.RejectsHead {
		heads = append(heads, head{title: name, user: true, width: 24})
	}
	const line = 1
	heads[line].kind, heads[line].width = report.Whole, 10
	for i := len(heads) - 2; i < len(heads); i++ { // sentences
		heads[i].wrap, heads[i].width = true, 60
	}
	s, row := b.open(rejectsName, 0, heads), make([]any, len(heads))
	if _, err := results.ReadCSV(path, 0, func(cells map[string]string) {
		for i, name := range report.RejectsHead {
			row[i] = blank(cells[name])
		}
		if n, err := strconv.ParseInt(cells[report.RejectsHead[line]], 10, 64); err == nil {
			row[line] = n
		}
		s.add(row...)
	}); err != nil {
		return fmt.Errorf("reading %s, which must be finished first: %w", report.RejectsCSV, err)
	}
	return s.close()
}
