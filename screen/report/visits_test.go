package report_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

func TestSurveyTakesBuildingsToTheField(t *testing.T) {
	e, run := screened(t, demoCSV)
	run.Surveyed = run.Ranks.Len()
	dir := t.TempDir()
	if err := report.WriteVisitsChanged(dir, e, run, madeUp); err != nil {
		t.Fatal(err)
	}
	header, list := lines(t, dir)
	inventory, by := demoRows(t), findings(t, config.Inputs{})
	if err := fits(list, inventory, by); err != nil {
		t.Error(err)
	}
	// Those with worth, and no other, each once.
	want, best := map[string]bool{}, map[string]string{}
	var unhelped []string // survey first, and nothing is listed
	strategies := e.Strategies()
	err := run.Each(run.Ranks.Overall, func(i uint32, row *screen.Row) error {
		best[row.Building.ID] = strategies[row.Judgements[0].Strategy].ID + ": " + row.Judgements[0].Verdict.String()
		if madeUp(i, row); len(row.Survey.Facts) > 0 {
			want[row.Building.ID] = true
		} else if strings.HasSuffix(best[row.Building.ID], ": survey first") {
			unhelped = append(unhelped, row.Building.ID)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	needs := map[string]int{}
	for _, l := range list {
		id := l["building_id"]
		if !want[id] {
			t.Errorf("%s is not worth a survey, or twice in the list", id)
		}
		delete(want, id)
		if got := l["strategy"] + ": " + l["verdict"]; got != best[id] {
			t.Errorf("%s: %s, expected %s", id, got, best[id])
		}
		for _, own := range []string{"street", "asset_ref", "tenancy"} { // not the tool's: as the inventory has them
			if got := strings.TrimPrefix(l[own], "'"); got != strings.TrimSpace(inventory[id][own]) {
				t.Errorf("%s: %s is %q, the inventory says %q", id, own, got, inventory[id][own])
			}
		}
		for column, from := range map[string]string{"latitude": "latitude_deg", "longitude": "longitude_deg"} {
			x, errX := strconv.ParseFloat(l[column], 64)
			y, errY := strconv.ParseFloat(strings.TrimSpace(inventory[id][from]), 64)
			if (errX == nil) != (errY == nil) || x != y {
				t.Errorf("%s: %s is %q, the inventory says %q", id, column, l[column], inventory[id][from])
			}
		}
		needs[l["visit_needed"]]++
	}
	if len(want) > 0 || needs["records only"] == 0 || needs["records first"] == 0 || needs["visit"] == 0 || len(unhelped) < 12 {
		t.Errorf("%d are missing of %d; %v; %d have no line", len(want), len(list), needs, len(unhelped))
	}
	if at := slices.Index(header, "street"); at < 3 || at > 8 {
		t.Errorf("the address is column %d", at)
	}
	// The printed order says the same in words.
	shown, err := report.SurveyOrderChanged(e, run, 30, madeUp)
	if err != nil {
		t.Fatal(err)
	}
	if len(shown.Rows) != 30 || !strings.Contains(shown.Title, fmt.Sprintf("first 30 of %d", len(list))) {
		t.Errorf("%d rows, %q", len(shown.Rows), shown.Title)
	}
	for _, part := range []string{
		fmt.Sprintf("The order holds %d buildings: records only at %d (", len(list), needs["records only"]), fmt.Sprintf("records first at %d (", needs["records first"]), fmt.Sprintf("visit at %d.", needs["visit"]),
		fmt.Sprintf(" %d more are survey first, but no single fact settles the verdict or changes the choice; worklist.csv says what to investigate there: %s and %d more. ", len(unhelped), strings.Join(unhelped[:10], ", "), len(unhelped)-10),
		report.SurveyCSV,
	} {
		if !strings.Contains(shown.Note, part) {
			t.Errorf("the note lacks %q: %q", part, shown.Note)
		}
	}
	for i, r := range shown.Rows {
		l := list[i]
		for k, want := range []string{l["visit"], l["building_id"], l["visit_needed"], "", l["fact_1_words"], l["fact_1_where"]} {
			if want != "" && r[k] != want {
				t.Errorf("visit %d: %q, the file has %q", i+1, r, want)
			}
		}
		if !strings.HasSuffix(r[6], "cuts wrong choices by "+l["fact_1_cuts_percent_points"]+" points") || strings.Contains(r[6], "settles the verdict") != (l["fact_1_settles_percent"] != "") {
			t.Errorf("visit %d: %q, the file has %v", i+1, r, l)
		}
		for _, name := range asked {
			if strings.Contains(strings.Join(r, " "), name) && strings.ContainsRune(name, '_') {
				t.Errorf("%q stands in %q", name, r)
			}
		}
	}
}

// Whatever facts are worth, also where many are worth the same, the order holds:
// records before visits, equal worth goes by the chance of a wrong choice, and where that is the same
// too, by place.
func TestSurveyOrderHoldsWhateverFactsAreWorth(t *testing.T) {
	e, run := screened(t, demoCSV)
	run.Surveyed = run.Ranks.Len()
	by := findings(t, config.Inputs{})
	place := map[string]int{}
	if err := run.Each(run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		place[row.Building.ID] = len(place)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	rapid.Check(t, func(r *rapid.T) {
		levels := rapid.SliceOfN(rapid.Float32Range(0.001, 0.9), 1, 5).Draw(r, "gains")
		cut := rapid.Float32Range(0, 1).Draw(r, "falls by")
		err := report.WriteVisitsChanged(dir, e, run, func(i uint32, row *screen.Row) {
			gain := levels[int(i)%len(levels)]
			row.Survey.Wrong = gain + 0.01*float32(i%4)
			for k, field := range unknownOf(&row.Building) {
				if k < screen.MostFacts {
					row.Survey.Facts = append(row.Survey.Facts, screen.Fact{Field: field, Gain: gain})
					gain *= cut
				}
			}
		})
		if err != nil {
			r.Fatal(err)
		}
		_, list := lines(t, dir)
		if err := fits(list, nil, by); err != nil {
			r.Fatal(err)
		}
		if len(levels) == 1 {
			for i := range list[1:] {
				if list[i]["wrong_choice_percent"] == list[i+1]["wrong_choice_percent"] && (list[i]["visit_needed"] == "visit") == (list[i+1]["visit_needed"] == "visit") && place[list[i]["building_id"]] > place[list[i+1]["building_id"]] {
					r.Fatalf("%s comes before %s", list[i]["building_id"], list[i+1]["building_id"])
				}
			}
		}
	})
}

// Text that a spreadsheet would run is disarmed wherever it stands, and an own
// column whose name is taken keeps a name of its own.
func TestSurveyGuardsTextOfTheInventory(t *testing.T) {
	path := filepath.Join(t.TempDir(), "one.csv")
	text := "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,group_key,=A1,visit,fact_1\n" +
		"=1+1,610,granite_rubble,4c,moderate,unknown,@SUM(A1),\"=HYPERLINK(\"\"x\"\")\",+cmd,-5\n"
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	e, run := screened(t, path)
	dir := t.TempDir()
	if err := report.WriteVisitsChanged(dir, e, run, func(_ uint32, row *screen.Row) { madeUp(2, row) }); err != nil {
		t.Fatal(err)
	}
	header, list := lines(t, dir)
	if len(list) != 1 {
		t.Fatalf("%d lines", len(list))
	}
	for column, want := range map[string]string{
		"building_id": "'=1+1", "group_key": "'@SUM(A1)", "'=A1": `'=HYPERLINK("x")`, "visit_inventory": "'+cmd", "fact_1_inventory": "-5", "visit": "1", "fact_1": "embedded_timber",
	} {
		if list[0][column] != want {
			t.Errorf("%s is %q, expected %q", column, list[0][column], want)
		}
	}
	seen := map[string]bool{}
	for _, h := range header {
		if seen[h] {
			t.Errorf("two columns %s", h)
		}
		seen[h] = true
	}
}

// One building is counted in the singular, and what was not drawn is not said to
// have no fact that helps.
func TestSurveyNoteOfOneBuilding(t *testing.T) {
	path := filepath.Join(t.TempDir(), "one.csv")
	if err := os.WriteFile(path, []byte("building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\nH1,610,granite_rubble,4c,moderate,unknown\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	e, run := screened(t, path)
	run.Surveyed = 1
	const helped = "The order holds 1 building: records only at 0 ("
	const unhelped = "1 building is survey first, but no single fact settles the verdict or changes the choice; worklist.csv says what to investigate there: H1. "
	for _, c := range []struct {
		wrong, gain          float32
		field                int16
		hasHelped, hasNoHelp bool
	}{
		{0.4, 0.4, int16(ingest.EmbeddedTimber), true, false},
		{0.4, 0, -1, false, true},
		{-1, 0, -1, false, false},
	} {
		shown, err := report.SurveyOrderChanged(e, run, 0, func(_ uint32, row *screen.Row) {
			row.Judgements[0].Verdict = screen.SurveyFirst
			row.Survey.Wrong = c.wrong
			if c.field >= 0 {
				row.Survey.Facts = []screen.Fact{{Field: c.field, Gain: c.gain}}
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(shown.Note, helped) != c.hasHelped || strings.Contains(shown.Note, unhelped) != c.hasNoHelp || strings.Contains(shown.Note, "H1") != c.hasNoHelp {
			t.Errorf("%v: %q", c, shown.Note)
		}
	}
}

// The steady tier does not draw: a header, and what that means where it is printed.
func TestSurveyOfARunWithoutDraws(t *testing.T) {
	e, run := screened(t, demoCSV)
	dir := t.TempDir()
	v, err := report.NewVisits(e, run)
	if err != nil {
		t.Fatal(err)
	}
	if err := v.Write(dir); err != nil {
		t.Fatal(err)
	}
	header, list := lines(t, dir)
	if len(list) != 0 || header[0] != "visit" || !slices.Contains(header, "street") {
		t.Errorf("%d lines under %q", len(list), header)
	}
	trades, err := report.WriteWorks(t.TempDir(), e, run)
	if err != nil {
		t.Fatal(err)
	}
	tables, err := report.Overview(e, run, trades, v, 5)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(tables, func(t report.Table) bool { return t.Name == "survey_order" })
	if at < 0 || len(tables[at].Rows) != 0 || !strings.Contains(tables[at].Title, "not drawn") || !strings.Contains(tables[at].Note, "header only") {
		t.Errorf("table %d of %v", at, tables[max(at, 0)])
	}
}

// What is found out is entered under the header the inventory has, where that
// fills no other column.
func TestSurveySaysWhereToEnter(t *testing.T) {
	const register = "../../testdata/wrzeciodom/"
	l, err := config.Load(config.Inputs{Files: []string{register + "register.yaml"}, Flags: map[string]any{"run.tier": config.TierSteady}})
	if err != nil {
		t.Fatal(err)
	}
	e, run := screenedBy(t, l, register+"register.csv")
	dir := t.TempDir()
	if err := report.WriteVisitsChanged(dir, e, run, func(_ uint32, row *screen.Row) {
		row.Survey.Wrong = 0.5
		for _, c := range []ingest.Category{ingest.ProtectedFacade, ingest.OuterFinish, ingest.HumidityClass} {
			row.Survey.Facts = append(row.Survey.Facts, screen.Fact{Field: int16(c), Gain: 0.5})
		}
		row.Survey.Facts = append(row.Survey.Facts, screen.Fact{Field: int16(ingest.NumCategories) + int16(ingest.Orientation), Gain: 0.5})
	}); err != nil {
		t.Fatal(err)
	}
	_, list := lines(t, dir)
	for k, want := range []string{
		"Ochr. (protected_facade): yes or no", // register.yaml
		"outer_finish: bare, limewash,",       // its header is that of the stone too
		"humidity_class: 1, 2, 3, 4 or 5",     // not in the register
		"Elew. gł. (orientation): compass direction",
	} {
		if got := list[0][fmt.Sprintf("fact_%d_enter", k+1)]; !strings.HasPrefix(got, want) {
			t.Errorf("%q, expected %q", got, want)
		}
	}
	if list[0]["Adres"] == "" || list[0]["group_key"] == "" {
		t.Errorf("no address in %v", list[0])
	}
}
