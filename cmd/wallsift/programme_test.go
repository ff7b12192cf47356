package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// prices are invented for the test.
const prices = `energy: {price_per_kwh: 0.5}
costs:
  exterior_rigid: {per_m2: 100, per_m2_mm: 0.5, per_home: 1000, source: invented for the test}
  interior_wool_retarder: {per_m2: 60, source: invented for the test}
  timber_inspect: {per_home: 400, source: invented for the test}
  rainwater_repair: {per_home: 1200, source: invented for the test}
  repoint_lime: {per_m2: 40, source: invented for the test}
`

// records reads a CSV file: rows by the names of their columns.
func records(t *testing.T, path string) (out []map[string]string) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = cells[i]
		}
		out = append(out, row)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// suited are the rows of a ranking that a programme may take.
func suited(t *testing.T, dir string) (out []map[string]string) {
	for _, r := range records(t, filepath.Join(dir, "ranking.csv")) {
		if strings.HasPrefix(r["verdict"], "suited") && r["saved_kwh_a"] != "" && number(t, r["saved_kwh_a"]) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// sections takes the CSV that is printed apart: rows without the name of their
// table, by that name.
func sections(t *testing.T, text string) map[string][][]string {
	t.Helper()
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][][]string{}
	for _, row := range all {
		if row[0] != "table" {
			out[row[0]] = append(out[row[0]], row[1:])
		}
	}
	return out
}

// Without a budget the homes that save most come first, as the ranking has them.
func TestProgrammeByHomes(t *testing.T) {
	dir := screened(t, homes(t))
	most := map[string]float64{}
	for _, r := range suited(t, dir) {
		most[r["building_id"]] = max(most[r["building_id"]], number(t, r["saved_kwh_a"]))
	}
	want := slices.SortedFunc(maps.Keys(most), func(a, b string) int { return int(most[b] - most[a]) })[:7]
	s := call(t, t.Context(), "programme", dir, "--homes", "7", "--format", "csv")
	if s.code != exitDone {
		t.Fatalf("exit code %d: %s", s.code, s.err)
	}
	list := sections(t, s.out)["programme"]
	sum := 0.0
	for i, id := range want {
		if list[i][1] != id {
			t.Errorf("place %d: %s, want %s", i+1, list[i][1], id)
		}
		sum += most[id]
	}
	if foot := list[len(list)-1]; len(list) != 8 || foot[1] != "in all 7 homes" || !slices.Contains(foot, fmt.Sprintf("%.0f", sum)) {
		t.Errorf("%d rows, the last %q; the sum is %.0f", len(list), foot, sum)
	}
	if !strings.Contains(s.err, "Screening, not design.") || !strings.Contains(s.err, "Tier steady") || !strings.Contains(s.out, "No costs are given") {
		t.Errorf("a caution is missing:\n%s", s.err)
	}
	// Every home of the run is in the programme or counted as left out.
	homes := len(want)
	for _, row := range sections(t, s.out)["left_out"] {
		homes += int(number(t, row[1]))
	}
	all := map[string]bool{}
	for _, r := range records(t, filepath.Join(dir, "ranking.csv")) {
		all[r["building_id"]] = true
	}
	if homes != len(all) {
		t.Errorf("%d homes in the programme or left out, %d in the run", homes, len(all))
	}
	// Least risk: the lowest high ends.
	risk := map[string]float64{}
	for _, r := range suited(t, dir) {
		high := number(t, r["utilisation_high"])
		if before, met := risk[r["building_id"]]; !met || high < before {
			risk[r["building_id"]] = high
		}
	}
	highs := slices.Sorted(maps.Values(risk))
	for _, row := range sections(t, call(t, t.Context(), "programme", dir, "--homes", "7", "--by", "risk", "--format", "csv").out)["programme"][:7] {
		if x := risk[row[1]]; x > highs[6] {
			t.Errorf("%s has %g, seven homes have %g or less", row[1], x, highs[6])
		}
	}
}

// Costs are those of the strategy and of every step needed, and what has no row is
// never taken for nothing.
func TestProgrammeUnderABudget(t *testing.T) {
	dir, costs, out := screened(t, homes(t), "--set", "output.address=street"), write(t, "costs.yaml", prices), t.TempDir()
	args := []string{"programme", dir, "--config", costs, "--budget", "200000"}
	s := call(t, t.Context(), append(args, "--out", out)...)
	if s.code != exitDone {
		t.Fatalf("exit code %d: %s", s.code, s.err)
	}
	perM2 := map[string]float64{"exterior_rigid": 100, "interior_wool_retarder": 60, "repoint_lime": 40}
	perHome := map[string]float64{"exterior_rigid": 1000, "timber_inspect": 400, "rainwater_repair": 1200}
	price := func(r map[string]string) (cost float64, known bool) {
		area, known := number(t, r["wall_area_m2"]), true
		for _, id := range append(strings.Fields(r["fix_first"]), r["strategy"]) {
			_, a := perM2[id]
			_, b := perHome[id]
			known = known && (a || b)
			cost += area*perM2[id] + perHome[id]
		}
		if r["strategy"] == "exterior_rigid" {
			cost += area * 0.5 * number(t, r["insulation_mm"])
		}
		return math.Round(cost), known
	}
	rows := map[string]map[string]string{}
	unknown := map[string]bool{}
	for _, r := range suited(t, dir) {
		rows[r["building_id"]+" "+r["strategy"]] = r
		_, known := price(r)
		if before, met := unknown[r["building_id"]]; !met || before {
			unknown[r["building_id"]] = !known
		}
	}
	total, chosen := 0.0, records(t, filepath.Join(out, "programme.csv"))
	for _, x := range chosen {
		r := rows[x["building_id"]+" "+x["strategy"]]
		if r == nil {
			t.Fatalf("%s is not suited for %s", x["strategy"], x["building_id"])
		}
		want, known := price(r)
		if !known || number(t, x["cost"]) != want || x["saved_kwh_a"] != r["saved_kwh_a"] || number(t, x["saved_cost_a"]) != math.Round(0.5*number(t, x["saved_kwh_a"])) {
			t.Errorf("%v: cost %g, known %v", x, want, known)
		}
		if !strings.Contains(x["caution"], "Screening, not design") || x["address"] != r["street"] {
			t.Errorf("caution %q, address %q, want %q", x["caution"], x["address"], r["street"])
		}
		total += want
	}
	if total > 200000 || len(chosen) < 3 {
		t.Errorf("%d homes for %g", len(chosen), total)
	}
	count := 0
	for _, no := range unknown {
		if no {
			count++
		}
	}
	if !strings.Contains(flat(s.out), fmt.Sprintf("cost not known %d", count)) {
		t.Errorf("%d homes of unknown cost:\n%s", count, s.out)
	}
	// The same again gives the same bytes; the homes done are left out and named.
	again := t.TempDir()
	call(t, t.Context(), append(args, "--out", again)...)
	for name, body := range files(t, out) {
		if files(t, again)[name] != body {
			t.Errorf("%s differs from run to run", name)
		}
	}
	f, err := excelize.OpenFile(filepath.Join(out, "programme.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if sheet, err := f.GetRows(f.GetSheetList()[0]); err != nil || f.GetSheetList()[0] != "Programme" || sheet[2][1] != chosen[0]["building_id"] || !strings.Contains(sheet[0][0], "Screening, not design") {
		t.Errorf("sheets %v, %v", f.GetSheetList(), err)
	}
	next := call(t, t.Context(), append(args, "--format", "csv", "--top", "0", "--done", filepath.Join(out, "programme.csv"))...)
	done := map[string]bool{}
	for _, row := range sections(t, next.out)["homes_left_out"] {
		done[row[0]] = row[2] == "decided or done"
	}
	for _, x := range chosen {
		if !done[x["building_id"]] {
			t.Errorf("%s is not named as done", x["building_id"])
		}
	}
	for _, row := range sections(t, next.out)["programme"] {
		if done[row[1]] {
			t.Errorf("%s is done and in the programme", row[1])
		}
	}
}

func TestProgrammeForATarget(t *testing.T) {
	dir, costs := screened(t, homes(t), "--set", "output.address=street"), write(t, "costs.yaml", prices)
	s := call(t, t.Context(), "programme", dir, "--config", costs, "--target-kwh", "100000", "--format", "json")
	var got struct{ Tables []struct{ Rows [][]string } }
	if err := json.Unmarshal([]byte(s.out), &got); err != nil || s.code != exitDone {
		t.Fatalf("exit code %d, %v: %s", s.code, err, s.err)
	}
	if said := fmt.Sprint(got.Tables[0].Rows); !strings.Contains(said, "reaches the target for less") && !strings.Contains(said, "can be reached for at most") {
		t.Errorf("no bound in %s", said)
	}
	if s := call(t, t.Context(), "programme", dir, "--target-kwh", "1e9"); s.code != exitDone || !strings.Contains(s.out, "is not reached") {
		t.Errorf("exit code %d: %s", s.code, s.out)
	}
}

func TestProgrammeFormats(t *testing.T) {
	dir := screened(t, homes(t))
	for format, check := range map[string]func(*testing.T, string) int{"csv": parseCSV, "markdown": parseMarkdown, "table": parseTable, "json": parseJSON} {
		for _, units := range []string{"si", "ip"} {
			if s := call(t, t.Context(), "programme", dir, "--homes", "3", "--format", format, "--units", units); s.code != exitDone || check(t, s.out) < 5 {
				t.Errorf("%s, %s: exit code %d: %s", format, units, s.code, s.err)
			}
		}
	}
}

func TestProgrammeRefuses(t *testing.T) {
	dir := screened(t, homes(t))
	for name, c := range map[string]struct {
		args []string
		says []string
	}{
		"a budget without costs":   {[]string{dir, "--budget", "1000"}, []string{"exterior_rigid: {per_m2: FIGURE", "repoint_lime: {", "--config"}},
		"an order without costs":   {[]string{dir, "--by", "cost"}, []string{"no costs are given"}},
		"a budget and a target":    {[]string{dir, "--budget", "1000", "--target-kwh", "1000"}, []string{"give one of them"}},
		"an order of nobody":       {[]string{dir, "--by", "luck"}, []string{"saving", "risk"}},
		"a folder of no run":       {[]string{t.TempDir()}, []string{"run.json", "wallsift screen"}},
		"done without a column":    {[]string{dir, "--done", write(t, "done.csv", "HX-0001\n")}, []string{"line 1", "HX-0001", "building_id"}},
		"done that cannot be read": {[]string{dir, "--done", filepath.Join(dir, "none.csv")}, []string{"none.csv"}},
	} {
		s := call(t, t.Context(), append([]string{"programme"}, c.args...)...)
		if s.code != exitUsage || s.out != "" {
			t.Errorf("%s: exit code %d: %s", name, s.code, s.out)
		}
		for _, want := range c.says {
			if !strings.Contains(s.err, want) {
				t.Errorf("%s: no %q in %s", name, want, s.err)
			}
		}
	}
	list := write(t, "done.csv", "\uFEFFWard;building_id\nx;HX-0016\nx;HX-NEVER\n")
	if s := call(t, t.Context(), "programme", dir, "--done", list); s.code != exitDone || !strings.Contains(s.err, "1 home listed as done is not in the run: HX-NEVER") || !strings.Contains(flat(s.out), "decided or done 1") {
		t.Errorf("exit code %d: %s", s.code, s.err)
	}
}

// Text of an inventory is run by nobody: not by a browser, not by a spreadsheet.
func TestProgrammeOfHostileText(t *testing.T) {
	list := write(t, "h.csv", "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,wall_area_m2,outer_finish,group_key,protected_facade,orientation_deg,salts\n"+
		"=1+1,350,sandstone_dense,5a,moderate,none,40,bare,<script>alert(1)</script>,no,315,none\n")
	dir, out := screened(t, list), t.TempDir()
	if s := call(t, t.Context(), "programme", dir, "--out", out); s.code != exitDone || !strings.Contains(s.out, "To plan first: 1 home of 1") {
		t.Fatalf("exit code %d: %s%s", s.code, s.out, s.err)
	}
	got := files(t, out)
	if page := got["programme.html"]; strings.Contains(page, "<script") || !strings.Contains(page, "&lt;script&gt;") || !strings.Contains(page, "Survey before any work") {
		t.Error("the page holds a script, not the group, or no caution")
	}
	if !strings.Contains(got["programme.csv"], "1,'=1+1,") {
		t.Error(got["programme.csv"])
	}
}

// Headings of money name the user's currency, in every output that people read; where
// it has no name they say money, and no column of a file for programs changes.
func TestCurrencyStandsInHeadings(t *testing.T) {
	for currency, given := range map[string]string{"money": "", "Guilders": "output: {currency: Guilders}\n"} {
		config := write(t, "costs.yaml", prices+given)
		dir, out := t.TempDir(), t.TempDir()
		s := call(t, t.Context(), "screen", demo, "--tier", "steady", "--config", config, "--out", dir)
		p := call(t, t.Context(), "programme", dir, "--config", config, "--budget", "100000", "--out", out)
		if s.code != exitDone || p.code != exitDone {
			t.Fatal(s.err, p.err)
		}
		heads := func(path, sheet string) string {
			f, err := excelize.OpenFile(path)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			rows, err := f.GetRows(sheet)
			if err != nil {
				t.Fatal(err)
			}
			return strings.Join(rows[1], "|")
		}
		page, programme := files(t, dir)["report.html"], files(t, out)
		for where, want := range map[string][2]string{
			"the terminal":                {s.out, "saved, " + currency + "/a"},
			"report.html":                 {page, "Saved, " + currency + "/a"},
			"the sheet Groups":            {heads(filepath.Join(dir, "ranking.xlsx"), "Groups"), "saved, " + currency + "/a"},
			"the sheet of all strategies": {heads(filepath.Join(dir, "ranking.xlsx"), "All strategies"), "Cost saved, " + currency + "/a"},
			"a printed programme":         {p.out, "cost, " + currency},
			"programme.html":              {programme["programme.html"], "Cost, " + currency},
			"programme.xlsx":              {heads(filepath.Join(out, "programme.xlsx"), "Programme"), "saves, " + currency + "/a"},
			"programme.csv":               {programme["programme.csv"], ",cost,saved_cost_a,"},
		} {
			if !strings.Contains(want[0], want[1]) {
				t.Errorf("%s has no %q", where, want[1])
			}
		}
		if given != "" && !strings.Contains(p.out, "of a budget of 100,000 Guilders") {
			t.Errorf("the sentence names no currency:\n%s", p.out)
		}
	}
	if s := call(t, t.Context(), "config", "--set", "output.currency=a name much longer than that of any money"); s.code != exitUsage || !strings.Contains(s.err, "at most 16") {
		t.Errorf("exit code %d: %s", s.code, s.err)
	}
}
