package workbook_test

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/workbook"
)

// Cell by cell, the sheets of rows say what ranking.csv says; where they use
// words for ids, those of the engine.
func TestRowsAreThoseOfTheRanking(t *testing.T) {
	r := ofDemo(t)
	if len(r.cut) > 0 {
		t.Errorf("cut: %q", r.cut)
	}
	got, rows := sheets(t, r.path()), r.ranking(t)
	fields := report.NewReader(r.input.Engine, r.input.Run).Fields()
	all, best := got["All strategies"], got["Ranking"]
	if len(all) != len(rows) || len(all[0]) != len(rows[0]) || len(best) != r.input.Run.Counts.Accepted+1 {
		t.Fatalf("All strategies %d × %d, Ranking %d, ranking.csv %d × %d", len(all), len(all[0]), len(best), len(rows), len(rows[0]))
	}
	words := map[string]string{}
	for _, s := range r.input.Engine.Strategies() {
		words[s.ID] = s.Label
	}
	inRank := slices.Index(rows[0], "rank_in_building")
	at, strategies := 0, slices.Index(rows[0], "strategy")
	for k := 1; k < len(rows); k++ {
		first := rows[k][inRank] == "1"
		if first {
			at++
		}
		column := 0
		for i, f := range fields {
			want := rows[k][i]
			if i == strategies {
				want = words[want]
			}
			compare := func(sheet string, cell string) {
				switch f.Name {
				case "governing", "governing_adverse", "allowance_limited_by", "gates", "fix_first", "check_on_site": // words, tested below
					if (cell == "") != (want == "") {
						t.Fatalf("%s, row %d, %s: %q, ranking.csv has %q", sheet, k, f.Name, cell, want)
					}
					return
				}
				same := cell == want || "'"+cell == want
				if f.Kind == report.Real && want != "" {
					a, errA := strconv.ParseFloat(cell, 64)
					b, errB := strconv.ParseFloat(want, 64)
					same = errA == nil && errB == nil && a == b
				}
				if !same {
					t.Fatalf("%s, row %d, %s: %q, ranking.csv has %q", sheet, k, f.Name, cell, want)
				}
			}
			compare("All strategies", all[k][i])
			if f.Reach != report.Deep {
				if first {
					compare("Ranking", best[at][column])
				}
				column++
			}
		}
	}
}

func TestWordsStandForIDs(t *testing.T) {
	r := ofDemo(t)
	all, rows := sheets(t, r.path())["All strategies"], r.ranking(t)
	steps := map[string]string{}
	for _, s := range r.input.Engine.StepsOf(^uint64(0)) {
		steps[s.ID] = s.Label
	}
	gates := map[string]string{}
	for _, g := range r.input.Engine.GatesOf(^uint64(0)) {
		gates[g.ID] = g.Label
	}
	for i, name := range rows[0] {
		words := map[string]map[string]string{"fix_first": steps, "check_on_site": steps, "gates": gates}[name]
		for k := 1; words != nil && k < len(rows); k++ {
			var want []string
			for _, id := range strings.Fields(rows[k][i]) {
				want = append(want, words[id])
			}
			if got := all[k][i]; got != strings.Join(want, "; ") {
				t.Fatalf("%s: %q, expected %q", name, got, want)
			}
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
	for i, s := range r.input.Engine.Strategies() {
		row := got["Overview"][i+1]
		sum := 0
		for v := range screen.NumVerdicts {
			n := number(row[1+int(v)])
			if n != run.Verdicts[i][v] {
				t.Errorf("%s, %v: %d", s.ID, v, n)
			}
			sum += n
		}
		if row[0] != s.Label || sum != run.Counts.Accepted || number(row[5]) != run.Best[i] {
			t.Errorf("%q", row)
		}
	}
	sum := 0
	for _, row := range got["Groups"][1:] {
		sum += number(row[1])
	}
	if len(got["Groups"]) != len(run.Groups)+1 || sum > run.Counts.Accepted || sum == 0 {
		t.Errorf("%d groups, %d buildings", len(got["Groups"])-1, sum)
	}
	k := 0
	for i, s := range r.input.Engine.StepsOf(^uint64(0)) {
		if n := run.Steps[i]; n.Do+n.Check > 0 {
			k++
			if row := got["Fix first"][k]; row[0] != s.Label || number(row[1]) != n.Do || number(row[2]) != n.Check {
				t.Errorf("%q, expected %s %+v", row, s.Label, n)
			}
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
	for id, l := range r.input.Config.Limits {
		row := limits[id]
		if row == nil || row[1] != l.Label || row[5] != l.Source {
			t.Errorf("limit %s: %q", id, row)
			continue
		}
		if x, err := strconv.ParseFloat(row[2], 64); err != nil || x != l.Value {
			t.Errorf("limit %s is %q, expected %v", id, row[2], l.Value)
		}
	}
	for _, f := range report.NewReader(r.input.Engine, r.input.Run).Fields() {
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
	for _, row := range append(got["Ranking"], got["Rejects"]...) {
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
		if r.cut, err = workbook.Write(r.dir, r.input); err != nil {
			t.Fatal(err)
		}
	}
}

// A full sheet says what it left out, in the return value and on the notes.
func TestFullSheetIsCutAndSaysSo(t *testing.T) {
	r := made(t, demo, func(in *workbook.Input) { in.MaxRows = 100 })
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
	if len(r.cut) != 2 || !strings.Contains(r.cut[0], "cut to the 32767 characters") {
		t.Errorf("%q", r.cut)
	}
	rows := sheets(t, r.path())["Ranking"]
	cell := rows[1][len(rows[0])-1]
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
	want := []string{"Overview", "Groups", "Ranking", "All strategies", "Fix first", "Work list", "Survey", "Rejects", "Notes"}
	if got := f.GetSheetList(); !slices.Equal(got, want) {
		t.Errorf("sheets %q", got)
	}
	for _, name := range f.GetSheetList() {
		if p, err := f.GetPanes(name); err != nil || !p.Freeze || p.YSplit != 1 {
			t.Errorf("%s: panes %+v, %v", name, p, err)
		}
		if tables, err := f.GetTables(name); err != nil || len(tables) != 1 {
			t.Errorf("%s: %d tables, %v", name, len(tables), err)
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
	for _, title := range []string{"U before, W/(m²·K)", "Saved, kWh/(m²·a)", "Insulation, mm", "asset_ref"} {
		if !slices.Contains(titles, title) {
			t.Errorf("no title %q in %q", title, titles)
		}
	}
}
