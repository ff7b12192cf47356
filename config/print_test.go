package config_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v3"

	"wallsift/config"
)

const custom = `
run: {seed: 9}
energy: {price_per_kwh: 0.11}
materials:
  granite_unit: {lambda: {typical: 2.7000000000000001}}
  flint_unit: {mu_dry: 1000000}
strategies: {tight_foam: {drop: true}, drained_cavity: {drop: true}}
steps: {salts_treat: {label: "yes", reason: "# not a comment: {x}"}}
input: {columns: [{from: "Wall (mm)", to: wall_thickness_mm}], delimiter: "\t"}
`

func TestPrintedConfigurationLoadsToTheSame(t *testing.T) {
	first := load(t, config.Inputs{Files: []string{write(t, "custom.yaml", custom)}, Env: []string{"WALLSIFT_OUTPUT_TOP=7"}})
	for _, origins := range []bool{false, true} {
		var out bytes.Buffer
		if err := first.WriteYAML(&out, origins); err != nil {
			t.Fatal(err)
		}
		second := load(t, config.Inputs{Files: []string{write(t, "printed.yaml", out.String())}})
		if d := cmp.Diff(first.Config, second.Config); d != "" {
			t.Errorf("origins %v: %s", origins, d)
		}
		if first.Fingerprint() != second.Fingerprint() {
			t.Errorf("origins %v: fingerprints differ", origins)
		}
		var again bytes.Buffer
		if err := second.WriteYAML(&again, false); err != nil {
			t.Fatal(err)
		}
		if !origins && again.String() != out.String() {
			t.Error("printing what was printed gives another text")
		}
		if origins && !strings.Contains(out.String(), "top: 7 # environment WALLSIFT_OUTPUT_TOP\n") {
			t.Error("the origin of output.top is not printed")
		}
	}
}

// TestPrintedDefaultsEqualTheFiles reads the default files and the printed
// configuration with the YAML library alone, without schema or structs.
func TestPrintedDefaultsEqualTheFiles(t *testing.T) {
	want := map[string]any{}
	entries, err := os.ReadDir("defaults")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		b, err := os.ReadFile("defaults/" + e.Name())
		if err != nil {
			t.Fatal(err)
		}
		var m map[string]any
		if err := yaml.Unmarshal(b, &m); err != nil {
			t.Fatal(err)
		}
		for k, v := range m {
			if _, twice := want[k]; twice {
				t.Errorf("%s is in two default files", k)
			}
			want[k] = v
		}
	}
	var out bytes.Buffer
	if err := load(t, config.Inputs{}).WriteYAML(&out, false); err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := yaml.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(floats(want), floats(got)); d != "" {
		t.Error(d)
	}
}

// floats makes 15 and 15.0 the same.
func floats(v any) any {
	switch x := v.(type) {
	case int:
		return float64(x)
	case []any:
		for i := range x {
			x[i] = floats(x[i])
		}
	case map[string]any:
		for k := range x {
			x[k] = floats(x[k])
		}
	}
	return v
}

func TestFingerprint(t *testing.T) {
	base := load(t, config.Inputs{}).Fingerprint()
	for range 3 {
		if got := load(t, config.Inputs{}).Fingerprint(); got != base {
			t.Fatalf("two loads gave %s and %s", base, got)
		}
	}
	for key, v := range map[string]any{"run.workers": 3, "output.dir": "x", "input.batch_rows": 7, "output.units": "ip", "run.max_rejected_share": 0.5} {
		if load(t, config.Inputs{Flags: map[string]any{key: v}}).Fingerprint() != base {
			t.Errorf("%s cannot change a result, but changes the fingerprint", key)
		}
	}
	seen := map[string]string{base: "the defaults"}
	for key, v := range map[string]any{
		"run.seed": 2, "materials.granite_unit.lambda.typical": 2.81, "limits.rsi.value": 0.14,
		"strategies.tight_foam.drop": true, "energy.carbon_kg_per_kwh": 0.0, "steps.salts_treat.sets.salts": "traces",
	} {
		got := load(t, config.Inputs{Flags: map[string]any{key: v}}).Fingerprint()
		if other, ok := seen[got]; ok {
			t.Errorf("%s has the fingerprint of %s", key, other)
		}
		seen[got] = key
	}
}

func TestEveryLeafIsDescribedAndHasOneVariable(t *testing.T) {
	l := load(t, config.Inputs{})
	names := map[string]string{}
	for _, key := range sortedOrigins(l) {
		if config.Describe(key) == "" {
			t.Errorf("%s has no description", key)
		}
		if other, ok := names[config.EnvName(key)]; ok {
			t.Errorf("%s and %s share %s", key, other, config.EnvName(key))
		}
		names[config.EnvName(key)] = key
	}
	for _, key := range []string{"energy.price_per_kwh", "materials.granite.mix.mortar_share.low", "materials.granite_unit.drop"} {
		if config.Describe(key) == "" {
			t.Errorf("%s has no description", key)
		}
	}
	if got := config.Describe("run.sead"); got != "" {
		t.Errorf("a key that does not exist is described: %q", got)
	}
}

func TestSettingsTableShowsMeaningAndOrigin(t *testing.T) {
	l := load(t, config.Inputs{Files: []string{write(t, "custom.yaml", custom)}})
	_, rows, err := l.Table("settings")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]string{}
	for _, row := range rows {
		if row[2] == "" {
			t.Errorf("%s has no meaning", row[0])
		}
		found[row[0]] = fmt.Sprint(row[1], " | ", row[3])
	}
	if got := found["run.seed"]; !strings.HasPrefix(got, "9 | file ") {
		t.Errorf("run.seed: %q", got)
	}
	if got := found["energy.carbon_kg_per_kwh"]; got != "(absent) | " {
		t.Errorf("carbon: %q", got)
	}
	if _, _, err := l.Table("materiels"); err == nil || !strings.Contains(err.Error(), `"materials"`) {
		t.Errorf("unknown table: %v", err)
	}
}

func BenchmarkLoadDefaults(b *testing.B) {
	for b.Loop() {
		if _, err := config.Load(config.Inputs{}); err != nil {
			b.Fatal(err)
		}
	}
}

// What the defaults say uses no word that the glossary has retired.
func TestNoRetiredWords(t *testing.T) {
	l := load(t, config.Inputs{})
	entries, err := os.ReadDir("defaults")
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]string{}
	for _, e := range entries {
		if e.Name() != "glossary.yaml" {
			b, err := os.ReadFile("defaults/" + e.Name())
			if err != nil {
				t.Fatal(err)
			}
			texts[e.Name()] = string(b)
		}
	}
	for key := range l.Origins {
		texts["the meanings"] += config.Describe(key) + "\n"
	}
	for name, text := range texts {
		for _, term := range l.Config.Glossary {
			for _, word := range term.Retired {
				if strings.Contains(strings.ToLower(text), word) {
					t.Errorf("%s: %q is retired, say %q", name, word, term.Label)
				}
			}
		}
	}
}
