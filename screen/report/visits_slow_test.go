//go:build slow

package report_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/screen/report"
)

// A run with draws: the same bytes whatever the worker count, the order holds, and
// no fact is asked for that the inventory gives.
func TestSurveyOfARunWithDraws(t *testing.T) {
	const fewStrategies = `strategies:
  drained_cavity: {drop: true}
  capillary_active_board: {drop: true}
  insulating_lime_plaster: {drop: true}
  tight_foam: {drop: true}
`
	dir := t.TempDir()
	file, home := filepath.Join(dir, "few.yaml"), filepath.Join(dir, "homes.csv")
	for path, text := range map[string]string{file: fewStrategies, home: `building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,protected_facade,orientation,humidity_class,street
A,500,sandstone_rubble,oceanic_wet,severe,unknown,,,,1 Lade
B,340,brick_common,4c,moderate,unknown,no,W,2,2 Lade
C,600,granite_rubble,oceanic_wet,sheltered,none,yes,,,3 Lade
D,500,granite_rubble,oceanic_wet,severe,joist_ends,unknown,S,3,4 Lade
`} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var want string
	for _, workers := range []int{1, 2} {
		in := config.Inputs{Files: []string{file}, Flags: map[string]any{"run.workers": workers, "chance.draws": 16}}
		l, err := config.Load(in)
		if err != nil {
			t.Fatal(err)
		}
		e, run := screenedBy(t, l, home)
		out := t.TempDir()
		v, err := report.NewVisits(e, run)
		if err != nil {
			t.Fatal(err)
		}
		if err := v.Write(out); err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(filepath.Join(out, report.SurveyCSV))
		if err != nil {
			t.Fatal(err)
		}
		if want == "" {
			want = string(b)
		} else if want != string(b) {
			t.Errorf("%d workers: %s\nexpected %s", workers, b, want)
		}
		_, list := lines(t, out)
		_, rows := table(t, home)
		inventory := map[string]map[string]string{}
		for _, r := range rows {
			inventory[r["building_id"]] = r
		}
		if err := fits(list, inventory, l.Config.Findings); err != nil {
			t.Error(err)
		}
		if len(list) == 0 || !strings.Contains(want, " Lade") {
			t.Errorf("nothing to find out in %s", b)
		}
	}
}
