package picks_test

import (
	"encoding/csv"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/config"
	"wallsift/screen/report/picks"
	"wallsift/screen/results"
	"wallsift/screen/results/resultstest"
)

// prices are invented for the test.
const prices = `costs:
  exterior_rigid: {per_m2: 100, per_m2_mm: 0.5, per_home: 1000, source: invented}
  interior_wool_retarder: {per_m2: 60, source: invented}
  rainwater_repair: {per_home: 1200, source: invented}
`

// load is the configuration with a file and settings.
func load(t *testing.T, body string, settings map[string]any) *config.Config {
	t.Helper()
	path := filepath.Join(t.TempDir(), "costs.yaml")
	if err := os.WriteFile(path, []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
	l, err := config.Load(config.Inputs{Files: []string{path}, Flags: settings})
	if err != nil {
		t.Fatal(err)
	}
	return &l.Config
}

// judged is a row of a ranking: a suited strategy with 100 mm on 50 m².
func judged(id, strategy string, kWh float64) resultstest.Row {
	return resultstest.Row{"building_id": id, "strategy": strategy, "verdict": "suited", "readiness": "start now", "insulation_mm": 100.0, "wall_area_m2": 50.0, "saved_kwh_a": kWh, "utilisation_high": 0.5}
}

// stock is a run of seven homes: three with measures, and one for each reason to be
// left out that has nothing to do with money.
func stock(t *testing.T) string {
	return resultstest.Folder(t, resultstest.Row{"version": "1", "configuration_sha256": "aa", "tier_caution": "Tier steady."},
		judged("A", "exterior_rigid", 9000).With("fix_first", []string{"rainwater_repair"}), // 50·(100 + 0.5·100) + 1000 + 1200 = 9700
		judged("A", "interior_wool_retarder", 6000),                                         // 50·60 = 3000
		judged("B", "exterior_rigid", 8000),                                                 // 8500
		judged("C", "capillary_active_board", 7000),                                         // no row in costs
		judged("D", "exterior_rigid", 5000).With("verdict", "not suited"),
		judged("E", "repairs_only", 0).With("insulation_mm", nil),
		judged("F", "exterior_rigid", 0).With("saved_kwh_a", nil, "wall_area_m2", nil),
		judged("=G", "interior_wool_retarder", 1000).With("verdict", "suited after repairs", "readiness", "repair first"), // 3000
	)
}

// written are the homes, strategies and costs of programme.csv.
func written(t *testing.T, p *picks.Picks) (out []string) {
	t.Helper()
	dir := t.TempDir()
	if err := p.Write(dir); err != nil {
		t.Fatal(err)
	}
	for _, name := range picks.Files {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
	f, err := os.Open(filepath.Join(dir, picks.CSV))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) int { return slices.Index(rows[0], name) }
	for _, r := range rows[1:] {
		out = append(out, strings.Join([]string{r[at("building_id")], r[at("strategy")], r[at("cost")]}, " "))
	}
	return out
}

// Costs are those of the strategy and its steps, and money goes where the sum of
// savings is largest: by hand, over all choices.
func TestProgrammeByHand(t *testing.T) {
	dir := stock(t)
	for budget, want := range map[string][]string{
		"2999":  nil,
		"3000":  {"A interior_wool_retarder 3000"},                          // 6000 kWh; G would be 1000
		"9000":  {"B exterior_rigid 8500"},                                  // 8000 against 7000 of A inside and G
		"11500": {"A interior_wool_retarder 3000", "B exterior_rigid 8500"}, // 14,000
		"18200": {"A exterior_rigid 9700", "B exterior_rigid 8500"},         // 17,000
		"99999": {"A exterior_rigid 9700", "B exterior_rigid 8500", "'=G interior_wool_retarder 3000"},
	} {
		p, err := picks.Make(t.Context(), dir, load(t, prices, map[string]any{"programme.budget": budget}), nil)
		if err != nil {
			t.Fatal(err)
		}
		got := written(t, p)
		slices.Sort(got)
		slices.Sort(want)
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("budget %s: %s", budget, d)
		}
	}
}

// Every home that is left out is counted once, with its reason and what helps.
func TestLeftOut(t *testing.T) {
	p, err := picks.Make(t.Context(), stock(t), load(t, prices, map[string]any{"programme.budget": "9000"}), []string{" A ", "nobody"})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "1 home listed as done is not in the run: nobody") {
		t.Errorf("notes %q", p.Notes)
	}
	want := map[string]string{"decided or done": "1", "cost not known": "1", "wall area not given": "1", "others come first: the budget is used up": "1", "repairs alone": "1", "no strategy is suited": "1"}
	for _, g := range p.Grids() {
		if g.Name != picks.LeftOut {
			continue
		}
		for _, r := range g.Table().Rows {
			for why, n := range want {
				if strings.HasPrefix(r[0], why) && r[1] == n {
					delete(want, why)
				}
			}
		}
		if len(want) > 0 {
			t.Errorf("not said: %v in %v", want, g.Table().Rows)
		}
	}
	for _, format := range config.Formats {
		var b strings.Builder
		if err := p.Print(&b, format, 1, 0); err != nil || !strings.Contains(b.String(), "To plan first: 1 home of 7") || !strings.Contains(b.String(), "capillary") {
			t.Errorf("%s: %v\n%s", format, err, b.String())
		}
	}
}

// Without prices a budget is refused with the very lines to fill, and a number of
// homes is not.
func TestCostsAreWanted(t *testing.T) {
	dir := stock(t)
	_, err := picks.Make(t.Context(), dir, load(t, "", map[string]any{"programme.budget": "9000"}), nil)
	if !errors.Is(err, picks.ErrCosts) || !strings.Contains(err.Error(), "\n  exterior_rigid: {per_m2: FIGURE, per_m2_mm: FIGURE, per_home: FIGURE, source: WHERE FROM}") || !strings.Contains(err.Error(), "\n  rainwater_repair: {per_m2: FIGURE") {
		t.Errorf("%v", err)
	}
	p, err := picks.Make(t.Context(), dir, load(t, "", map[string]any{"programme.homes": "2"}), nil)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"A exterior_rigid ", "B exterior_rigid "}, written(t, p)); d != "" {
		t.Error(d)
	}
	if _, err := picks.Make(t.Context(), t.TempDir(), load(t, "", nil), nil); !errors.Is(err, results.ErrFolder) {
		t.Errorf("no run: %v", err)
	}
}

// A list of homes done is read however a spreadsheet wrote it.
func TestReadDone(t *testing.T) {
	for name, c := range map[string]struct {
		body, says string
		want       []string
	}{
		"own":          {"order,building_id\n1,A\n2,'=G\n", "", []string{"A", "=G"}},
		"semicolons":   {"\ufeffBuilding_ID ;x\r\nA;1\r\n\r\n;2\r\n", "", []string{"A"}},
		"tabs":         {"x\tbuilding_id\n1\tB\n", "", []string{"B"}},
		"short row":    {"x,building_id\n1\n2,C\n", "", []string{"C"}},
		"no such name": {"id,x\nA,1\n", `"id,x": a header with the column building_id was expected`, nil},
		"empty":        {"", "building_id was expected", nil},
		"torn":         {"building_id\n\"A", "cannot be read", nil},
	} {
		path := filepath.Join(t.TempDir(), "done.csv")
		if err := os.WriteFile(path, []byte(c.body), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := picks.ReadDone(path)
		if d := cmp.Diff(c.want, got); d != "" || (err == nil) != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v %s", name, err, d)
		}
	}
}
