package config_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/model/rain"
)

// A slip of unit is refused, or noted where the value is possible, and the likely
// unit is named.
func TestSlipsOfUnitAreNamed(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		words []string
	}{
		"depth in mm":          {"limits: {timber_depth_joist_ends: {value: 100}}", []string{"limits.timber_depth_joist_ends.value", "expected 0.01 to 0.5 m", "looks like mm: write 0.1"}},
		"moisture in percent":  {"limits: {timber_moisture_max: {value: 20}}", []string{"limits.timber_moisture_max.value", "looks like percent: write 0.2"}},
		"surface resistance":   {"limits: {rse: {value: 40}}", []string{"limits.rse.value", "expected 0.01 to 0.2 m2K/W"}},
		"share in percent":     {"limits: {rain_splash: {value: 30}}", []string{"looks like percent: write 0.3"}},
		"end of the spread":    {"limits: {rain_load: {high: 150}}", []string{"limits.rain_load.high", "expected 0 to 5"}},
		"spread out of order":  {"limits: {rain_load: {value: 2}}", []string{"limits.rain_load.value", "from low 0.6 to high 1.5"}},
		"half a spread":        {"limits: {rse: {low: 0.03}}", []string{"limits.rse", "low and high, or neither"}},
		"insulation like iron": {"materials: {mineral_wool: {lambda: {low: 10, typical: 10, high: 10}}}", []string{"materials.mineral_wool.lambda.low", "expected 0.003 to 0.3"}},
		"milliwatts":           {"materials: {mineral_wool: {lambda: {low: 33, typical: 36, high: 40}}}", []string{"looks like mW/(m·K): write 0.033"}},
		"uptake per root hour": {"materials: {brick_soft: {a_w: {low: 13, typical: 20, high: 30}}}", []string{"looks like kg/(m²·√h): write 0.217"}},
		"density in g/cm3":     {"materials: {brick_soft: {density: {low: 1.4, typical: 1.6, high: 1.7}}}", []string{"looks like g/cm³: write 1.4e+03"}},
		"layer in mm":          {"strategies: {tight_foam: {inside: [{material: closed_cell_foam, sized: true}, {material: gypsum_board, thickness: 12.5}]}}", []string{"strategies.tight_foam.inside[1].thickness", "looks like mm: write 0.0125"}},
		"range in mm":          {"strategies: {tight_foam: {thickness: {max: 80}}}", []string{"strategies.tight_foam.thickness.max", "looks like mm: write 0.08"}},
		"humidity in percent":  {"stations: {seattle: {rh: [78, 76, 74, 71, 69, 67, 65, 67, 73, 78, 80, 80]}}", []string{"stations.seattle.rh[0]", "looks like percent: write 0.78"}},
		"rain in metres":       {"stations: {seattle: {rain: [-1, 96, 106, 81, 48, 37, 15, 25, 41, 99, 160, 145]}}", []string{"stations.seattle.rain[0]", "expected 0 to 2500 mm a month"}},
		"sun of midsummer":     {"stations: {seattle: {sun: [250, 79, 133, 192, 238, 258, 267, 225, 167, 96, 54, 38]}}", []string{"stations.seattle.sun[0]", "clear sky"}},
		"nights too warm":      {"stations: {seattle: {temp_min: [7, 7, 9, 11, 15, 17, 20, 20, 17, 13, 9, 6]}}", []string{"stations.seattle.temp[0]", "temp_min"}},
		"held back in mm":      {"strategies: {interior_wool_retarder: {hold_back: {height: 250}}}", []string{"strategies.interior_wool_retarder.hold_back.height", "looks like mm: write 0.25"}},
		"site wind in m/s":     {"exposures: {severe: {wind: 5}}", []string{"exposures.severe.wind", "expected 0 to 1"}},
		"exposure dropped":     {"exposures: {severe: {drop: true}}", []string{"exposures.severe", "cannot be dropped"}},
		"no caution":           {"steps: {consent: {caution: ''}}", []string{"steps.consent.caution", "missing", "dangers"}},
		"no caution's source":  {"strategies: {repairs_only: {caution_source: ' '}}", []string{"strategies.repairs_only.caution_source", "missing"}},
	} {
		t.Run(name, func(t *testing.T) {
			wantProblem(t, problems(t, config.Inputs{Files: []string{write(t, "a.yaml", c.text)}}), c.words...)
		})
	}
}

func TestUnusualValuesAreNoted(t *testing.T) {
	if notes := load(t, config.Inputs{}).Notes; len(notes) > 0 {
		t.Errorf("the defaults are unusual: %v", notes)
	}
	l := load(t, config.Inputs{Flags: map[string]any{"limits.timber_depth_lintels.value": "0.4", "materials.mineral_wool.lambda.high": "0.2"}})
	if len(l.Notes) != 2 {
		t.Errorf("%d notes, want 2: %v", len(l.Notes), l.Notes)
	}
	wantProblem(t, l.Notes, "limits.timber_depth_lintels.value", "found 0.4", "usual are 0.02 to 0.25 m", "flag --set")
	wantProblem(t, l.Notes, "materials.mineral_wool.lambda.high", "found 0.2", "usual are 0.018 to 0.1")
}

// Every limit has bounds, and every number of a material, layer or site.
func TestEveryLimitHasBounds(t *testing.T) {
	c := &load(t, config.Inputs{}).Config
	for _, table := range []map[string]config.Limit{c.Limits, c.Evidence} {
		for id, row := range table {
			r := row.Range()
			if row.Possible[0] >= row.Possible[1] || row.Usual[0] < row.Possible[0] || row.Usual[1] > row.Possible[1] || row.Usual[0] > r.Low || r.High > row.Usual[1] {
				t.Errorf("%s: possible %v, usual %v, value %v", id, row.Possible, row.Usual, r)
			}
		}
	}
}

func TestWhatWouldBeIgnoredInSilence(t *testing.T) {
	for name, c := range map[string]struct {
		file, text string
		words      []string
	}{
		"second document":     {"a.yaml", "run: {seed: 2}\n---\nrun: {seed: 3}\n", []string{"second document", "---"}},
		"second one broken":   {"a.yaml", "run: {seed: 2}\n---\nrun: {seed: \n", []string{"second document"}},
		"drop of nothing":     {"a.yaml", "strategies: {tight_foams: {drop: true}}", []string{"strategies.tight_foams", "no such row to drop", `"tight_foam"`}},
		"key with a dot":      {"a.yaml", "run.seed: 4", []string{"run.seed", "nested", "run: {seed: ...}"}},
		"dots in a row":       {"a.yaml", "limits: {rse.value: 0.05}", []string{"limits.rse.value", "nested", "rse: {value: ...}"}},
		"dots in JSON":        {"a.json", `{"materials.brick_soft.lambda.low": 1}`, []string{"materials: {brick_soft: {lambda: {low: ...}}}"}},
		"a key twice, JSON":   {"a.json", `{"run": {"seed": 4}, "run": {"tier": "auto"}}`, []string{"not valid JSON", `"run" already defined`}},
		"two objects, JSON":   {"a.json", `{"run": {"seed": 4}} {"run": {"seed": 5}}`, []string{"not valid JSON"}},
		"dots of nothing":     {"a.yaml", "run.sead: 4", []string{"run.sead", "unknown key"}},
		"TOML with its dots":  {"a.toml", "'run.seed' = 4", []string{"run.seed", "nested"}},
		"like nothing":        {"a.yaml", "strategies: {mine: {like: tight_fom}}", []string{"strategies.mine.like", "no such row in strategies", `"tight_foam"`}},
		"like itself":         {"a.yaml", "strategies: {mine: {like: mine}}", []string{"strategies.mine.like", "circle"}},
		"like in a circle":    {"a.yaml", "strategies: {a: {like: b}, b: {like: a}}", []string{"strategies.a.like", "circle"}},
		"default row is like": {"a.yaml", "strategies: {tight_foam: {like: repairs_only}}", []string{"strategies.tight_foam.like", "an id of its own"}},
		"like and a slip":     {"a.yaml", "strategies: {mine: {like: tight_foam, thickness: {max: 80}}}", []string{"strategies.mine.thickness.max", "looks like mm"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, c.file, c.text)
			wantProblem(t, problems(t, config.Inputs{Files: []string{path}}), append(c.words, "file "+path)...)
		})
	}
	// An end mark and an empty file are no second document.
	for _, text := range []string{"run: {seed: 2}\n---\n", "---\nrun: {seed: 2}\n...\n", "", "# nothing yet\n"} {
		load(t, config.Inputs{Files: []string{write(t, "a.yaml", text)}})
	}
}

func TestAStrategyLikeAnother(t *testing.T) {
	path := write(t, "like.yaml", `
strategies:
  wool_bare_face:
    like: wool_thin
    label: Interior wool, face as it is
    steps: [rainwater_repair, ground_drainage, repoint_lime, film_paint_remove, parge_lime]
    gates: [rainwater_defective]
  wool_thin:
    like: interior_wool_retarder
    thickness: {typical: 0.03, max: 0.04}
  foam_again: {like: tight_foam, order: 75}
  tight_foam: {drop: true}
materials:
  clay_plaster: {like: lime_plaster, label: Clay plaster, a_w: {typical: 0.1}, source: made up for this test}
`)
	l := load(t, config.Inputs{Files: []string{path}})
	base, got := l.Config.Strategies["interior_wool_retarder"], l.Config.Strategies["wool_bare_face"]
	if got.ID != "wool_bare_face" || got.Label != "Interior wool, face as it is" || got.Caution != base.Caution || !slices.Equal(got.Inside, base.Inside) || !slices.Equal(got.Gates, []string{"rainwater_defective"}) {
		t.Errorf("%+v", got)
	}
	if want := (config.Thickness{Min: base.Thickness.Min, Typical: 0.03, Max: 0.04, Step: base.Thickness.Step}); got.Thickness != want {
		t.Errorf("thickness %+v, want %+v", got.Thickness, want)
	}
	if _, there := l.Config.Strategies["tight_foam"]; there || l.Config.Strategies["foam_again"].Warning == "" || l.Config.Strategies["foam_again"].Order != 75 {
		t.Errorf("%+v", l.Config.Strategies["foam_again"])
	}
	if m := l.Config.Materials["clay_plaster"]; m.Aw.Typical != 0.1 || m.Aw.High != l.Config.Materials["lime_plaster"].Aw.High || m.Kind != "plaster" {
		t.Errorf("%+v", m)
	}
	if o := l.Origins["strategies.wool_bare_face.summary"]; o != "default" {
		t.Errorf("the origin of a field of the other row is %q", o)
	}
	var out strings.Builder
	if err := l.WriteYAML(&out, false); err != nil {
		t.Fatal(err)
	}
	again := load(t, config.Inputs{Files: []string{write(t, "printed.yaml", out.String())}})
	if again.Fingerprint() != l.Fingerprint() {
		t.Error("printed and read again, the configuration is another one")
	}
}

// ISO 15927-3 knows these obstruction factors (table 2, from memory), and the wind
// at a face follows from roughness at 10 m and obstruction, as the rows' sources say.
func TestExposuresFollowTheStandard(t *testing.T) {
	rows := load(t, config.Inputs{}).Config.Exposures
	last := 0.0
	for _, id := range []string{"sheltered", "moderate", "severe", "very_severe"} {
		e, ok := rows[id]
		if !ok || e.ID != id || !slices.Contains([]float64{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}, e.Obstruction) {
			t.Errorf("%s: %+v", id, e)
		}
		if want := min(1, rain.Roughness(rain.Terrain(e.Terrain), 10)*e.Obstruction); math.Abs(e.Wind-want) > 0.02 {
			t.Errorf("%s: wind %v, by roughness and obstruction %.2f", id, e.Wind, want)
		}
		if e.Wind <= last {
			t.Errorf("%s: no windier than the word before", id)
		}
		last = e.Wind
	}
}
