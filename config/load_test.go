package config_test

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
)

// write puts a file into a folder of the test and returns its path.
func write(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func load(t *testing.T, in config.Inputs) *config.Loaded {
	t.Helper()
	l, err := config.Load(in)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// problems loads what must fail and returns what was found.
func problems(t *testing.T, in config.Inputs) config.Problems {
	t.Helper()
	_, err := config.Load(in)
	var ps config.Problems
	if !errors.As(err, &ps) {
		t.Fatalf("got error %v, want Problems", err)
	}
	return ps
}

// wantProblem checks that one problem holds all the words.
func wantProblem(t *testing.T, ps config.Problems, words ...string) {
	t.Helper()
	for _, p := range ps {
		if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(p.Error(), w) }) {
			return
		}
	}
	t.Errorf("no problem with all of %q in\n%v", words, ps)
}

func TestDefaultsLoadAndEveryRowKnowsItsID(t *testing.T) {
	l := load(t, config.Inputs{})
	for _, name := range config.TableNames() {
		header, rows, err := l.Table(name)
		if err != nil || (len(rows) == 0) != (name == "costs") { // no cost is built in
			t.Fatalf("%s: %d rows, error %v", name, len(rows), err)
		}
		for _, row := range rows {
			if len(row) != len(header) || row[0] == "" || row[len(row)-1] == "" {
				t.Errorf("%s: row %q lacks cells, id or source", name, row)
			}
		}
	}
	_, rows, _ := l.Table("materials")
	for _, row := range rows {
		if row[2] == "composite" && (row[3] == "" || row[5] == "") {
			t.Errorf("mixed masonry is not composed: %q", row)
		}
	}
	for id, m := range l.Config.Materials {
		if m.ID != id {
			t.Errorf("materials.%s has ID %q", id, m.ID)
		}
	}
	for key, origin := range l.Origins {
		if origin != "default" {
			t.Errorf("%s comes from %s", key, origin)
		}
	}
	if l.Config.Energy.PricePerKWh != nil || l.Config.Energy.CarbonPerKWh != nil {
		t.Error("price and carbon must be absent by default")
	}
}

func TestEachLayerBeatsTheOneBelow(t *testing.T) {
	yaml := write(t, "a.yaml", "run: {seed: 2, workers: 2}\ninput: {batch_rows: 2}\noutput: {top: 2}\n")
	toml := write(t, "b.toml", "[run]\nseed = 3\nworkers = 3\n[output]\ntop = 3\n")
	json := write(t, "c.json", `{"run": {"seed": 4}, "output": {"top": 4}}`)
	l := load(t, config.Inputs{
		Files:     []string{yaml, toml, json},
		Env:       []string{"HOME=/nowhere", "WALLSIFT_RUN_SEED=5", "WALLSIFT_OUTPUT_FORMAT=csv"},
		Flags:     map[string]any{"run.seed": 6, "output.format": "json"},
		FlagNames: map[string]string{"output.format": "format"},
	})
	c := &l.Config
	for _, tc := range []struct {
		key        string
		got, want  any
		wantOrigin string
	}{
		{"run.max_rejected_share", c.Run.MaxRejectedShare, 0.05, "default"},
		{"input.batch_rows", c.Input.BatchRows, 2, "file " + yaml},
		{"run.workers", c.Run.Workers, 3, "file " + toml},
		{"output.top", c.Output.Top, 4, "file " + json},
		{"run.seed", c.Run.Seed, 6, "flag --set run.seed"},
		{"output.format", c.Output.Format, "json", "flag --format"},
	} {
		if tc.got != tc.want || l.Origins[tc.key] != tc.wantOrigin {
			t.Errorf("%s = %v from %q, want %v from %q", tc.key, tc.got, l.Origins[tc.key], tc.want, tc.wantOrigin)
		}
	}
	l = load(t, config.Inputs{Files: []string{yaml}, Env: []string{"WALLSIFT_RUN_SEED=5"}})
	if l.Config.Run.Seed != 5 || l.Origins["run.seed"] != "environment WALLSIFT_RUN_SEED" {
		t.Errorf("seed %d from %q, want 5 from the environment", l.Config.Run.Seed, l.Origins["run.seed"])
	}
}

func TestListsAndTableFieldsInEnvironmentAndSet(t *testing.T) {
	l := load(t, config.Inputs{
		Env: []string{"WALLSIFT_RANK_MARGIN_STEPS=0.4, 0.9", "WALLSIFT_MATERIALS_GRANITE_UNIT_LAMBDA_TYPICAL=2.6", "WALLSIFT_STRATEGIES_TIGHT_FOAM_DROP=true"},
		Flags: map[string]any{
			"strategies.repairs_only.indicators": "frost, wet_front",
			"energy.price_per_kwh":               "0.11",
			"input.delimiter":                    ";",
		},
	})
	c := &l.Config
	if got := c.Rank.MarginSteps; !slices.Equal(got, []float64{0.4, 0.9}) {
		t.Errorf("margin_steps = %v", got)
	}
	if got := c.Materials["granite_unit"].Lambda.Typical; got != 2.6 {
		t.Errorf("granite lambda = %v", got)
	}
	if got := c.Strategies["repairs_only"].Indicators; !slices.Equal(got, []string{"frost", "wet_front"}) {
		t.Errorf("indicators = %v", got)
	}
	if p := c.Energy.PricePerKWh; p == nil || *p != 0.11 {
		t.Errorf("price = %v", p)
	}
	if _, there := c.Strategies["tight_foam"]; there || !slices.Equal(l.Dropped, []string{"strategies.tight_foam"}) {
		t.Errorf("tight_foam still there: %v, dropped %v", there, l.Dropped)
	}
}

func TestRowsOverriddenAddedAndDropped(t *testing.T) {
	base := load(t, config.Inputs{})
	path := write(t, "rows.yaml", `
materials:
  granite_unit: {lambda: {typical: 2.7}}
  clay_lump:
    label: Clay lump
    kind: plaster
    lambda: {low: 0.5, typical: 0.7, high: 0.9}
    density: {low: 1600, typical: 1700, high: 1800}
    heat_capacity: 1000
    mu_dry: 10
    mu_wet: 6
    source: made up for this test
zones:
  7: {label: Very cold}
  8: {drop: true}
input:
  columns: [{from: "Wall thickness (mm).1", to: wall_thickness_mm}]
  aliases: [{field: stone_type, from: "Whin Stone", to: basalt}]
`)
	l := load(t, config.Inputs{Files: []string{path}})
	want := base.Config.Materials["granite_unit"]
	want.Lambda.Typical = 2.7
	got := l.Config.Materials["granite_unit"]
	if got.Lambda != want.Lambda || got.Density != want.Density || got.Source != want.Source {
		t.Errorf("granite = %+v, want only lambda.typical changed", got)
	}
	if o := l.Origins["materials.granite_unit.lambda.typical"]; o != "file "+path {
		t.Errorf("origin of the override = %q", o)
	}
	if o := l.Origins["materials.granite_unit.lambda.low"]; o != "default" {
		t.Errorf("origin of the field beside it = %q", o)
	}
	if m := l.Config.Materials["clay_lump"]; m.ID != "clay_lump" || m.Density.High != 1800 {
		t.Errorf("added row = %+v", m)
	}
	if z := l.Config.Zones["7"]; z.Label != "Very cold" || z.Station != base.Config.Zones["7"].Station {
		t.Errorf("zone 7 = %+v", z)
	}
	_, before := base.Config.Zones["8"]
	_, after := l.Config.Zones["8"]
	if !before || after || slices.ContainsFunc(sortedOrigins(l), func(k string) bool { return strings.HasPrefix(k, "zones.8.") }) {
		t.Errorf("zone 8: before %v, after %v", before, after)
	}
	// Letter case, blanks and dots survive, because they are values and not keys.
	if m := l.Config.Input.ColumnMap(); !slices.Equal(m["Wall thickness (mm).1"], []string{"wall_thickness_mm"}) {
		t.Errorf("columns = %v", m)
	}
	if m := l.Config.Input.AliasMap(); m["stone_type"]["Whin Stone"] != "basalt" {
		t.Errorf("aliases = %v", m)
	}
	back := write(t, "back.yaml", "zones: {\"8\": {drop: false}}\n")
	l = load(t, config.Inputs{Files: []string{path, back}})
	if _, ok := l.Config.Zones["8"]; !ok {
		t.Error("a later file could not bring a dropped row back")
	}
}

func sortedOrigins(l *config.Loaded) (keys []string) {
	for k := range l.Origins {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
