package workbook_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/workbook"
)

// Cell by cell, the sheets of rows say what ranking.csv says; where they use words
// for ids, they have words where that has ids. Columns without any value are left
// out, and where the building is comes first.
func TestRowsAreThoseOfTheRanking(t *testing.T) {
	r := ofDemo(t)
	if len(r.cut) > 0 {
		t.Errorf("cut: %q", r.cut)
	}
	got, rows := sheets(t, r.path()), r.ranking(t)
	all, best := got["All strategies"], got["Ranking"]
	if len(all) != len(rows) || len(best) < r.input.Run.Counts.Accepted+1 || all[0][0] != "Building" || all[0][1] != "Address" || best[0][0] != "Building" || best[0][1] != "Address" {
		t.Fatalf("All strategies %d rows, Ranking %d, ranking.csv %d; %q", len(all), len(best), len(rows), best[0][:2])
	}
	verdict, blanked := column(all, "Verdict"), 0
	for i, f := range report.Ranking(r.input.Engine, r.input.Run, false).Columns {
		in, short, filled := column(all, f.Heading()), column(best, f.Heading()), false
		words := slices.Contains([]string{"strategy", "verdict", "governing", "governing_adverse", "not_judged", "allowance_limited_by", "gates", "fix_first", "check_on_site", "caution", "survey_for", "tier", "stone_type", "climate_zone"}, f.Name) || f.Label == report.Named(f.Name) && !f.Extra
		at := 0
		for k := 1; k < len(rows); k++ {
			first := rows[k][slices.Index(rows[0], "rank_in_building")] == "1"
			if first {
				at++
			}
			want := rows[k][i]
			// What a rule excludes is not judged by limits: figures of another method
			// would stand beside those of the rows that are.
			if strings.HasPrefix(all[k][verdict], "excluded") && (strings.HasPrefix(f.Name, "utilisation") || slices.Contains([]string{"governing", "governing_adverse", "worst_month", "worst_date", "facing", "not_judged", "demand", "limit", "unit", "mass_loss_percent"}, f.Name)) {
				want = ""
				blanked++
			}
			filled = filled || want != ""
			compare := func(sheet, cell string) {
				same := cell == want || "'"+cell == want
				if words && f.Name != "fix_first" && f.Name != "check_on_site" { // of what is not to be built only repairs are shown
					same = (cell == "") == (want == "")
				}
				if f.Name == "fix_first" || f.Name == "check_on_site" {
					same = cell == "" || want != ""
				}
				if f.Kind == report.Real && want != "" {
					a, errA := strconv.ParseFloat(cell, 64)
					b, errB := strconv.ParseFloat(want, 64)
					same = errA == nil && errB == nil && a == b
				}
				if !same {
					t.Fatalf("%s, row %d, %s: %q, ranking.csv has %q", sheet, k, f.Name, cell, want)
				}
			}
			if in >= 0 {
				compare("All strategies", all[k][in])
			}
			if short >= 0 && first {
				compare("Ranking", best[at][short])
			}
		}
		if filled != (in >= 0) {
			t.Errorf("%s: filled %v, on the sheet %v", f.Name, filled, in >= 0)
		}
		if short >= 0 && !f.Brief && f.Name != "building_id" {
			t.Errorf("%s is on the short sheet", f.Name)
		}
	}
	if blanked == 0 {
		t.Error("no rule excludes anything")
	}
}

// Gates are named by their labels, and work by that of its step.
func TestWordsStandForIDs(t *testing.T) {
	r := ofDemo(t)
	all, rows := sheets(t, r.path())["All strategies"], r.ranking(t)
	gates := map[string]string{}
	for _, g := range r.input.Engine.GatesOf(^uint64(0)) {
		gates[g.ID] = g.Label
	}
	from, to := slices.Index(rows[0], "gates"), column(all, "Rules that act")
	for k := 1; k < len(rows); k++ {
		var want []string
		for _, id := range strings.Fields(rows[k][from]) {
			want = append(want, gates[id])
		}
		if got := all[k][to]; got != strings.Join(want, "; ") {
			t.Fatalf("%q, expected %q", got, want)
		}
	}
	for name, terms := range map[string][]ingest.Term{"stone_type": r.input.Engine.InputOptions().Stones, "climate_zone": r.input.Engine.InputOptions().Zones} {
		from, to := slices.Index(rows[0], name), column(all, map[string]string{"stone_type": "Stone", "climate_zone": "Climate zone"}[name])
		for k := 1; k < len(rows); k++ {
			if at := slices.IndexFunc(terms, func(t ingest.Term) bool { return t.ID == rows[k][from] }); all[k][to] != terms[at].Label {
				t.Fatalf("%s %q, expected %q", name, all[k][to], terms[at].Label)
			}
		}
	}
	verdict := column(all, "Verdict")
	seen := map[string]bool{}
	for _, row := range all[1:] {
		word, _, _ := strings.Cut(row[verdict], ":")
		seen[word] = true
	}
	for _, want := range []string{"suited", "excluded", "repairs alone are not enough", "warning only"} {
		if !seen[want] {
			t.Errorf("no verdict reads %q", want)
		}
	}
}

func TestSummariesAddUp(t *testing.T) {
	r := ofDemo(t)
	got, run := sheets(t, r.path()), r.input.Run
	number := func(s string) int {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	for _, g := range report.Grids(r.input.Engine, run, r.input.Trades) {
		name := map[string]string{"glance": "Overview", "strategies": "Strategies", "work": "Work by stage", "groups": "Groups", "repairs": "Repairs"}[g.Name]
		for k, row := range g.Rows {
			for i, cell := range row {
				want, have := fmt.Sprint(cell), got[name][k+1][i]
				if cell == nil {
					want = ""
				}
				if x, ok := cell.(float64); ok {
					want = strconv.FormatFloat(x, 'g', 12, 64)
					y, _ := strconv.ParseFloat(have, 64)
					have = strconv.FormatFloat(y, 'g', 12, 64)
				}
				if have != want {
					t.Errorf("%s, row %d: %q, expected %q", name, k, have, want)
				}
			}
		}
	}
	if all := fmt.Sprintf("In all: buildings %d; ", run.Counts.Accepted); !slices.ContainsFunc(got["Groups"], func(row []string) bool { return len(row) > 0 && strings.HasPrefix(row[0], all) }) {
		t.Errorf("the sheet Groups lacks %q", all)
	}
	for i, s := range r.input.Engine.Strategies() {
		row, sum := got["Strategies"][i+1], 0
		for v := range screen.NumVerdicts {
			sum += number(row[1+int(v)])
		}
		if row[0] != s.Label || sum != run.Counts.Accepted || number(row[1+int(screen.NumVerdicts)]) != run.Best[i] {
			t.Errorf("%q", row)
		}
	}
	if n := len(got["Rejects"]) - 1; n < run.Counts.Rejected || n == 0 {
		t.Errorf("%d rejects, %d rows were rejected", n, run.Counts.Rejected)
	}
}

func TestNotesSayWhatResultsRestOn(t *testing.T) {
	r := ofDemo(t)
	var all strings.Builder
	limits := map[string][]string{}
	for _, row := range sheets(t, r.path())["Notes"] {
		all.WriteString(strings.Join(row, "\t") + "\n")
		if row[0] == "Limits" {
			limits[row[4]] = row
		}
	}
	text := all.String()
	for _, want := range []string{report.Caution, r.input.Manifest.TierCaution, screen.RankingRule, "SHA-256 " + r.input.Manifest.Inventories[0].SHA256, "demo.csv", "Version\twallsift"} {
		if !strings.Contains(text, want) {
			t.Errorf("the notes lack %q", want)
		}
	}
	for id, l := range r.input.Engine.Config().Limits {
		row := limits[id]
		if row == nil || row[1] != l.Label || row[5] != l.Source {
			t.Errorf("limit %s: %q", id, row)
			continue
		}
		if x, err := strconv.ParseFloat(row[2], 64); err != nil || x != l.Value {
			t.Errorf("limit %s is %q, expected %v", id, row[2], l.Value)
		}
	}
	for _, f := range report.Ranking(r.input.Engine, r.input.Run, false).Columns {
		if !strings.Contains(text, "in ranking.csv: "+f.Name) {
			t.Errorf("no note on the column %s", f.Name)
		}
	}
}

const hostile = `building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,group_key,place,building,=cmd,wide
=1+1,500,brick_common,4c,moderate,none,"=HYPERLINK(""http://example.invalid"")",x,y,@SUM(A1),
+2,500,brick_common,4c,moderate,none,-3,<b>&amp;,"two
lines",007,
-4,500,brick_common,4c,moderate,none,@x,_x0041_,  spaces ,"say ""hi""",
@5,500,no_such_stone,=1+1,moderate,none,,,,,
`

// Cells of the inventory stay the text they are, and nothing is a formula: no
// part of the file has an element f (ECMA-376 part 1, 18.3.1.40).
func TestNothingBecomesAFormula(t *testing.T) {
	r := made(t, inventory(t, hostile), nil)
	f, err := excelize.OpenFile(r.path())
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name)
		if err != nil {
			t.Fatal(err)
		}
		for k, row := range rows {
			for i, text := range row {
				at, _ := excelize.CoordinatesToCellName(i+1, k+1)
				if formula, err := f.GetCellFormula(name, at); err != nil || formula != "" {
					t.Errorf("%s %s holds the formula %q", name, at, formula)
				}
				if kind, _ := f.GetCellType(name, at); strings.ContainsAny(text[:min(1, len(text))], "=+@") && kind != excelize.CellTypeInlineString {
					t.Errorf("%s %s, %q, is of type %v", name, at, text, kind)
				}
			}
		}
	}
	for name, text := range parts(t, r.path()) {
		if strings.Contains(text, "<f>") || strings.Contains(text, "<f ") {
			t.Errorf("%s holds a formula", name)
		}
	}
	got := sheets(t, r.path())
	seen := map[string]bool{}
	for _, row := range append(got["All strategies"], got["Rejects"]...) {
		for _, cell := range row {
			seen[cell] = true
		}
	}
	for _, want := range []string{"=1+1", "+2", "-4", `=HYPERLINK("http://example.invalid")`, "-3", "@x", "@SUM(A1)", "007", "<b>&amp;", "two\nlines", "_x0041_", "@5"} {
		if !seen[want] {
			t.Errorf("%q is lost", want)
		}
	}
}

// A table needs titles that differ whatever the case (ECMA-376 part 1, 18.5.1.3:
// names of columns are unique; that case does not count is common practice, no
// source). The column "building" of the inventory meets the tool's "Building".
func TestTitlesAreUnique(t *testing.T) {
	r := made(t, inventory(t, hostile), nil)
	for name, rows := range sheets(t, r.path()) {
		seen := map[string]bool{}
		for _, title := range rows[0] {
			if title == "" || seen[strings.ToLower(title)] {
				t.Errorf("%s: title %q is empty or stands twice", name, title)
			}
			seen[strings.ToLower(title)] = true
		}
	}
}

// parts returns the XML of a workbook by name.
func parts(t testing.TB, path string) map[string]string {
	t.Helper()
	z, err := zip.OpenReader(path)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	out := map[string]string{}
	for _, p := range z.File {
		r, err := p.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if !p.Modified.IsZero() && p.Modified.Year() > 1980 {
			t.Errorf("%s carries the time %v", p.Name, p.Modified)
		}
		out[p.Name] = string(b)
	}
	return out
}

func TestSameRunSameBytes(t *testing.T) {
	first, err := os.ReadFile(ofDemo(t).path())
	if err != nil {
		t.Fatal(err)
	}
	r := made(t, demo, nil) // a run of its own
	for range 3 {           // the library walks maps: one draw of their order proves little
		again, err := os.ReadFile(r.path())
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Fatal("two runs differ")
		}
		left, err := filepath.Glob(filepath.Join(r.dir, "*loose*"))
		if more, _ := filepath.Glob(filepath.Join(r.dir, "excelize*")); err != nil || len(left)+len(more) > 0 {
			t.Errorf("left behind: %q %q", left, more)
		}
		if r.cut, err = workbook.Write(t.Context(), r.dir, r.input); err != nil {
			t.Fatal(err)
		}
	}
}

// A full sheet says what it left out, in the return value and on the notes.
func TestFullSheetIsCutAndSaysSo(t *testing.T) {
	defer workbook.SetTableRows(100)()
	r := made(t, demo, nil)
	got := sheets(t, r.path())
	rows := r.input.Run.Counts.Accepted * len(r.input.Engine.Strategies())
	if n := len(got["All strategies"]) - 1; n != 100 {
		t.Errorf("%d rows", n)
	}
	want := "Sheet All strategies: the last " + strconv.Itoa(rows-100) + " rows were left out, 100 are shown; all are in ranking.csv."
	if !slices.Contains(r.cut, want) {
		t.Errorf("%q", r.cut)
	}
	found := false
	for _, row := range got["Notes"] {
		found = found || row[4] == want
	}
	if !found {
		t.Error("the notes do not say it")
	}
}

// A cell holds 32,767 characters (from memory, the bound that spreadsheet
// programs share).
func TestLongTextIsCutAndSaysSo(t *testing.T) {
	long := strings.Repeat("é", 20000) + strings.Repeat("😀", 10000) // 40,000 units of UTF-16
	r := made(t, inventory(t, "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,remark\nA,500,brick_common,4c,moderate,none,"+long+"\n"), nil)
	if len(r.cut) != 1 || !strings.Contains(r.cut[0], "cut to the 32767 characters") {
		t.Errorf("%q", r.cut)
	}
	rows := sheets(t, r.path())["All strategies"]
	cell := rows[1][column(rows, "remark")]
	if cell != strings.Repeat("é", 20000)+strings.Repeat("😀", 6383) {
		t.Errorf("%d characters", len([]rune(cell)))
	}
}

// Headers stay in sight, every sheet has a filter, and marks are there.
func TestSheetsAreMadeForReading(t *testing.T) {
	r := ofDemo(t)
	f, err := excelize.OpenFile(r.path())
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	want := []string{"Overview", "Strategies", "Work by stage", "Groups", "Repairs", "Ranking", "All strategies", "Work list", "Survey", "Rejects", "Notes"}
	if got := f.GetSheetList(); !slices.Equal(got, want) {
		t.Errorf("sheets %q", got)
	}
	for _, name := range f.GetSheetList() {
		if p, err := f.GetPanes(name); err != nil || !p.Freeze || p.YSplit != 2 {
			t.Errorf("%s: panes %+v, %v", name, p, err)
		}
		if tables, err := f.GetTables(name); err != nil || len(tables) != 1 {
			t.Errorf("%s: %d tables, %v", name, len(tables), err)
		}
		// On paper: as wide as a page, the head of the table and what it is on each.
		layout, err := f.GetPageLayout(name)
		if err != nil || layout.FitToWidth == nil || *layout.FitToWidth != 1 && name != "All strategies" || *layout.FitToHeight != 0 {
			t.Errorf("%s: layout %+v, %v", name, layout, err)
		}
		if h, err := f.GetHeaderFooter(name); err != nil || !strings.Contains(h.OddHeader, "demo.csv&R&A") || !strings.Contains(h.OddFooter, report.ShortCaution) {
			t.Errorf("%s: header %+v, %v", name, h, err)
		}
	}
	rules, err := f.GetConditionalFormats("Ranking")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, list := range rules {
		n += len(list)
	}
	if n < int(screen.NumVerdicts)+2 {
		t.Errorf("%d rules", n)
	}
	var titles []string
	titles = append(titles, sheets(t, r.path())["Ranking"][0]...)
	for _, title := range []string{"Saved, kWh/(m²·a)", "Insulation allowance, mm", "Caution", "Readiness"} {
		if !slices.Contains(titles, title) {
			t.Errorf("no title %q in %q", title, titles)
		}
	}
}

// Where a run has more homes than are shown in full, the sheets of all strategies
// and of work hold those alone, with their ranks, and say so.
func TestSheetsOfShownHomes(t *testing.T) {
	r := made(t, demo, func(in *report.Results) { in.Shown = []int{0, 5, 9} })
	got := sheets(t, r.path())
	all := got["All strategies"]
	var ranks []string
	for _, row := range all[1:] {
		if rank := row[column(all, "Overall rank")]; rank != "" && !slices.Contains(ranks, rank) {
			ranks = append(ranks, rank)
		}
	}
	if !slices.Equal(ranks, []string{"1", "6", "10"}) {
		t.Errorf("ranks %q", ranks)
	}
	for _, name := range []string{"All strategies", "Work list"} {
		if !slices.ContainsFunc(got[name], func(row []string) bool { return strings.HasPrefix(row[0], "3 of 384 buildings") }) {
			t.Errorf("%s does not say what it holds", name)
		}
	}
	if n := len(got["Ranking"]) - 1; n != r.input.Run.Ranks.Len() {
		t.Errorf("%d best strategies", n)
	}
}
