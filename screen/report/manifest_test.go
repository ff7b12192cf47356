package report_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// noted is the manifest of a run over two rows with some configuration.
func noted(t *testing.T, yaml string, flags map[string]any) *report.Manifest {
	t.Helper()
	dir := t.TempDir()
	file, list := filepath.Join(dir, "own.yaml"), filepath.Join(dir, "list.csv")
	for path, body := range map[string]string{file: "run: {tier: steady}\n" + yaml, list: "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\nA,500,brick_common,4c,moderate,none\n"} {
		if err := os.WriteFile(path, []byte(body), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	l, err := config.Load(config.Inputs{Files: []string{file}, Flags: flags})
	if err != nil {
		t.Fatal(err)
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	src, err := ingest.Open([]string{list}, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	run, err := e.Run(t.Context(), src, screen.Options{Dir: dir, Rejected: func(ingest.Reject) error { return nil }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { run.Close() })
	return report.NewManifest("test", l, e, run, nil)
}

// The manifest holds every setting that can move a figure, in every form it can
// be given, and none that cannot.
func TestSettingsThatMoveFigures(t *testing.T) {
	base := noted(t, "", nil)
	if len(base.Settings) < 1000 {
		t.Fatalf("%d settings", len(base.Settings))
	}
	for key, want := range map[string]string{"rank.margin_steps": "[0.5,0.8,1]", "chance.draws": "64", "zones.4c.station": `"seattle"`, "energy.price_per_kwh": "null"} {
		if got, err := json.Marshal(base.Settings[key]); err != nil || string(got) != want {
			t.Errorf("%s: %s, want %s", key, got, want)
		}
	}
	differ := func(m *report.Manifest) (keys []string) {
		for k, v := range m.Settings {
			if was, ok := base.Settings[k]; !ok || !reflect.DeepEqual(was, v) {
				keys = append(keys, k)
			}
		}
		for k := range base.Settings {
			if _, ok := m.Settings[k]; !ok {
				keys = append(keys, "-"+k)
			}
		}
		return keys
	}
	for name, c := range map[string]struct {
		yaml  string
		flags map[string]any
		want  string
	}{
		"a limit":                {yaml: "limits:\n  rsi: {value: 0.14, source: invented for this test}\n", want: "limits.rsi.value"},
		"the same limit, a flag": {flags: map[string]any{"limits.rsi.value": 0.14}, want: "limits.rsi.value"},
		"a station's rain":       {yaml: "stations:\n  seattle: {rain_from: 190, source: invented for this test}\n", want: "stations.seattle.rain_from"},
		"a thickness":            {yaml: "strategies:\n  tight_foam: {thickness: {typical: 0.07}, source: invented for this test}\n", want: "strategies.tight_foam.thickness.typical"},
		"a warning":              {yaml: "strategies:\n  tight_foam: {warning: other words, source: invented for this test}\n", want: "strategies.tight_foam.warning"},
		"words":                  {yaml: "limits:\n  rsi: {label: other words, source: invented for this test}\n"},
		"where results go":       {yaml: "output: {dir: elsewhere, top: 3, format: csv, units: ip}\n"},
		"how fast":               {flags: map[string]any{"run.workers": 1, "input.batch_rows": 2}},
		"a weather file":         {yaml: "stations:\n  seattle: {weather_file: none.epw}\n"},
	} {
		got := differ(noted(t, c.yaml, c.flags))
		if c.want == "" && len(got) == 0 || len(got) == 1 && got[0] == c.want {
			continue
		}
		t.Errorf("%s: %v differ, want %q", name, got, c.want)
	}
}
