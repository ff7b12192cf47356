package compare_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/screen/compare"
	"wallsift/screen/results/resultstest"
)

type row = resultstest.Row

// judged is a row as a run would write it.
func judged(id, strategy string, rank int, verdict string, share float64) row {
	return row{
		"building_id": id, "strategy": strategy, "rank_in_building": rank, "verdict": verdict, "governing": "frost", "utilisation": share, "tier": "steady",
		"stone_type": "granite_rubble", "wall_thickness_mm": 500.0, "exposure": "severe", "last_survey": "2020-01-01", "tenancy": "let",
	}
}

// manifest is what run.json says, as far as it matters here.
type manifest = row

func plain() manifest {
	return manifest{"version": "1", "tier": "steady", "seed": 1, "configuration_sha256": "aa", "inventories": []map[string]string{{"name": "a.csv", "sha256": "11"}}}
}

// output writes the output folder of a run.
func output(t testing.TB, m manifest, rows ...row) string { return resultstest.Folder(t, m, rows...) }

// result is the JSON form of a comparison.
type result map[string]any

func compared(t testing.TB, old, new string) result {
	t.Helper()
	var out result
	if err := json.Unmarshal([]byte(form(t, old, new, "json", 0)), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// builtIn is the configuration that labels are taken from.
func builtIn(t testing.TB) *config.Config {
	t.Helper()
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	return &l.Config
}

// form is a comparison as printed.
func form(t testing.TB, old, new, format string, top int) string {
	t.Helper()
	r, err := compare.Folders(t.Context(), builtIn(t), old, new)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := r.Print(&b, format, top, 0); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// rows are those of a table, cells joined: a pair as old>new, or one value where
// both are alike.
func (r result) rows(t testing.TB, name string, columns ...string) (out []string) {
	t.Helper()
	list, ok := r[name].([]any)
	if !ok {
		t.Fatalf("no table %s", name)
	}
	for _, one := range list {
		var cells []string
		for _, c := range columns {
			v, ok := one.(map[string]any)[c]
			if !ok {
				t.Fatalf("table %s has no column %s", name, c)
			}
			if p, ok := v.(map[string]any); ok {
				if v = fmt.Sprint(p["old"], ">", p["new"]); fmt.Sprint(p["old"]) == fmt.Sprint(p["new"]) {
					v = p["new"]
				}
			}
			cells = append(cells, strings.ReplaceAll(fmt.Sprint(v), "<nil>", ""))
		}
		out = append(out, strings.Join(cells, "|"))
	}
	return out
}

func (r result) summary() string {
	var out []string
	for _, s := range r["summary"].([]any) {
		out = append(out, s.(string))
	}
	return strings.Join(out, " ")
}

// put writes a file into a folder.
func put(t testing.TB, dir, name, body string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(body), 0o644); err != nil {
		t.Fatal(err)
	}
}

func equal(t testing.TB, what string, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\n%q, want\n%q", what, got, want)
	}
}
