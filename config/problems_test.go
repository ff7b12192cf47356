package config_test

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"wallsift/config"
)

func TestUnknownKeysNameTheFileAndTheNearestKey(t *testing.T) {
	for name, text := range map[string]string{
		"a.yaml": "run:\n  sead: 3\nmaterials:\n  granite_unit:\n    lambda: {typcal: 2}\n",
		"a.toml": "[run]\nsead = 3\n[materials.granite_unit.lambda]\ntypcal = 2\n",
		"a.json": `{"run": {"sead": 3}, "materials": {"granite_unit": {"lambda": {"typcal": 2}}}}`,
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, name, text)
			ps := problems(t, config.Inputs{Files: []string{path}})
			if len(ps) != 2 {
				t.Errorf("%d problems, want 2: %v", len(ps), ps)
			}
			wantProblem(t, ps, "file "+path, "run.sead", "unknown key", `"seed"`)
			wantProblem(t, ps, "file "+path, "materials.granite_unit.lambda.typcal", `"typical"`)
		})
	}
}

func TestUnknownKeyInAListAndWrongIDs(t *testing.T) {
	ps := problems(t, config.Inputs{Files: []string{write(t, "a.yaml", `
strategies: {repairs_only: {outside: [{materiel: granite}]}}
materials: {Granite: {mu_dry: 5}, soft-stone: {mu_dry: 5}}
Run: {seed: 1}
quite_another_thing: 1
`)}})
	wantProblem(t, ps, "strategies.repairs_only.outside[0].materiel", `"material"`)
	wantProblem(t, ps, `"Granite" is not an id`, "snake_case")
	wantProblem(t, ps, `"soft-stone" is not an id`)
	wantProblem(t, ps, "Run", `did you mean "run"`)
	wantProblem(t, ps, "quite_another_thing", "known here are")
}

func TestEnvironmentAndSetNamesMustExist(t *testing.T) {
	ps := problems(t, config.Inputs{
		Env:   []string{"WALLSIFT_RUN_SEDE=3", "WALLSIFT_RUN_SEED=many", "WALLSIFT_INPUT_COLUMNS=a", "OTHER=1"},
		Flags: map[string]any{"run.worker": "3", "run.tier": 5, "rank.margin_steps": "0.5,wide"},
	})
	wantProblem(t, ps, "environment WALLSIFT_RUN_SEDE", `"WALLSIFT_RUN_SEED"`)
	wantProblem(t, ps, "environment WALLSIFT_RUN_SEED", "run.seed", `"many"`, "a whole number")
	wantProblem(t, ps, "WALLSIFT_INPUT_COLUMNS", "only be given in a file")
	wantProblem(t, ps, "flag --set run.worker", `"run.workers"`)
	wantProblem(t, ps, "flag --set run.tier", "found 5", "expected text")
	wantProblem(t, ps, "rank.margin_steps[1]", `"wide"`, "a finite number")
	if len(ps) != 6 {
		t.Errorf("%d problems, want 6: %v", len(ps), ps)
	}
}

func TestWrongTypesNameKeyValueAndExpectation(t *testing.T) {
	path := write(t, "types.yaml", `
run: {seed: 1.5, max_rejected_share: .nan, tier: 7}
output: [1]
materials: {granite_unit: {lambda: 2.8, sd: }}
stations: {seattle: {temp: [1, 2, 3]}}
limits: {rsi: {value: "0.13"}}
`)
	ps := problems(t, config.Inputs{Files: []string{path}})
	for _, words := range [][]string{
		{"run.seed", "found 1.5", "a whole number"},
		{"run.max_rejected_share", "found NaN", "a finite number"},
		{"run.tier", "found 7", "expected text", "quotes"},
		{"output", "expected a section with the keys dir, format"},
		{"materials.granite_unit.lambda", "found 2.8", "low, typical, high"},
		{"materials.granite_unit.sd", "found nothing", "a finite number"},
		{"stations.seattle.temp", "found 3 values", "12 (January to December)"},
		{"limits.rsi.value", `found "0.13"`, "a finite number"},
	} {
		wantProblem(t, ps, append(words, "file "+path)...)
	}
	if len(ps) != 8 {
		t.Errorf("%d problems, want 8: %v", len(ps), ps)
	}
}

func TestFilesThatCannotBeRead(t *testing.T) {
	missing := filepath.Join(t.TempDir(), "none.yaml")
	broken := write(t, "broken.json", `{"run": `)
	twice := write(t, "twice.yaml", "run: {seed: 1, seed: 2}\n")
	ps := problems(t, config.Inputs{Files: []string{missing, broken, twice, "a.ini"}})
	wantProblem(t, ps, missing, "cannot be read")
	wantProblem(t, ps, broken, "not valid JSON")
	wantProblem(t, ps, twice, "not valid YAML", "seed")
	wantProblem(t, ps, "a.ini", ".toml")
}

func TestValidationReportsEverythingAtOnce(t *testing.T) {
	path := write(t, "v.yaml", `
run: {max_rejected_share: 5}
indoor: {method: humid_class, default_humidity_class: {low: 4, typical: 3}}
rank: {margin_steps: [0.8, 0.5]}
materials:
  granite_unit: {lambda: {low: 3}, w_f: {low: 4, typical: 80, high: 150}}
  granit: {mu_dry: 5}
  gypsum_board: {drop: true}
  granite_rubble: {mix: {mortar: granite_unit}}
stations: {seattle: {rh: [78, 76, 74, 71, 69, 67, 65, 67, 73, 78, 80, 80], zone: 4D}}
zones: {4c: {station: seatle}}
strategies:
  exterior_rigid: {thickness: {min: 0.3}, gates: [facade_protectd], indicators: [frost, frost]}
gates:
  ground_wet: {effect: pause}
  joints_open: {when: [{field: joint_condition, in: [open], above: 2}]}
  film_paint: {step: film_paint_removal}
limits:
  surface_rh_max: {value: 80}
  rsi: {drop: true}
`)
	ps := problems(t, config.Inputs{Files: []string{path}, Env: []string{"WALLSIFT_RUN_TIER=steedy"}})
	for _, words := range [][]string{
		{"run.max_rejected_share", "found 5", "file " + path},
		{"run.tier", `"steedy"`, `"steady"`, "environment WALLSIFT_RUN_TIER"},
		{"indoor.method", `did you mean "humidity_class"`},
		{"indoor.default_humidity_class", "low <= typical"},
		{"rank.margin_steps", "each larger"},
		{"materials.granite_unit.lambda", "3 / 2.8 / 3.2", "low <= typical <= high", "file " + path},
		{"materials.granite_unit.w_f", "1000 x porosity"},
		{"materials.granit.source", "missing", `did you mean "granite"`},
		{"materials.granite_rubble.mix.mortar", "mortar"},
		{"strategies.interior_wool_retarder.inside", "gypsum_board", "was dropped"},
		{"stations.seattle.rh[0]", "found 78", "expected 0.05 to 1", "looks like percent: write 0.78"},
		{"stations.seattle.zone", `"4D"`, "ASHRAE 169"},
		{"zones.4c.station", `"seatle"`, `"seattle"`},
		{"strategies.exterior_rigid.thickness", "0.3 / 0.12 / 0.2"},
		{"strategies.exterior_rigid.gates[0]", `"facade_protected"`},
		{"strategies.exterior_rigid.indicators", "listed twice"},
		{"gates.ground_wet.effect", `"pause"`, "exclude, hold, survey"},
		{"gates.joints_open.when[0]", "exactly one of"},
		{"gates.film_paint.step", `"film_paint_removal"`, `"film_paint_remove"`},
		{"limits.surface_rh_max.value", "found 80", "0.5 to 1"},
		{"limits.rsi", "cannot be dropped"},
	} {
		wantProblem(t, ps, words...)
	}
	if !strings.Contains(ps.Error(), "problems\n  ") {
		t.Errorf("problems are not listed one a line: %v", ps)
	}
}

func TestHoldWhoseStepIsNotListed(t *testing.T) {
	ps := problems(t, config.Inputs{Flags: map[string]any{"strategies.exterior_rigid.steps": "ground_drainage"}})
	wantProblem(t, ps, "strategies.exterior_rigid.steps", "rainwater_repair", "add it", "flag --set")
}

func TestCheckFields(t *testing.T) {
	path := write(t, "f.yaml", `
gates:
  ground_wet: {when: [{field: ground_moistur, in: [wet]}]}
  joints_open: {when: [{field: joint_condition, in: [opened]}]}
  thin: {label: Thin, when: [{field: salts, below: 1}], effect: exclude, reason: thin, source: test}
  tall: {label: Tall, when: [{field: height, above: 20}], effect: exclude, reason: tall, source: test}
`)
	l := load(t, config.Inputs{Files: []string{path}})
	condition := []string{"unknown", "sound", "weathered", "open"}
	err := l.CheckFields(map[string][]string{
		"ground_moisture": {"unknown", "dry", "damp", "wet"}, "joint_condition": condition, "salts": {"unknown", "none"}, "height": nil,
	})
	var ps config.Problems
	if !errors.As(err, &ps) {
		t.Fatalf("got %v", err)
	}
	wantProblem(t, ps, "gates.ground_wet.when[0]", `"ground_moisture"`, "file "+path)
	wantProblem(t, ps, "gates.joints_open.when[0]", `"open"`)
	wantProblem(t, ps, "gates.thin.when[0]", "for numbers")
	for _, p := range ps {
		if strings.HasPrefix(p.Key, "gates.tall") {
			t.Errorf("a number field was refused: %v", p)
		}
	}
}
