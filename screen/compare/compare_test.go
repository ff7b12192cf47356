package compare_test

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"wallsift/screen/compare"
	"wallsift/screen/report"
)

func TestNothingMoved(t *testing.T) {
	a := output(t, plain(), judged("A", "x", 1, "suited", 0.5), judged("B", "x", 1, "not suited", 2))
	b := output(t, plain(), judged("B", "x", 1, "not suited", 2), judged("A", "x", 1, "suited", 0.5004))
	got := tables(t, a, b, 0)
	for _, name := range []string{"verdicts", "best", "reasons", "rows"} {
		if len(got[name].Rows) != 0 {
			t.Errorf("table %s has rows: %v", name, got[name].Rows)
		}
	}
}

func TestReasons(t *testing.T) {
	base := judged("A", "x", 1, "suited", 0.5)
	moved := base.with("verdict", "not suited", "utilisation", 1.5)
	thick := moved.with("wall_thickness_mm", 450.0)
	other := plain().with("inventories", []map[string]string{{"name": "a.csv", "sha256": "22"}})
	hourly := plain().with("tier", "transient")
	for name, c := range map[string]struct {
		old, new        row
		oldRun, newRun  manifest
		reason, differs string
	}{
		"a fact":               {base, thick, plain(), other, "input changed", "wall_thickness_mm 500 → 450"},
		"a fact becomes known": {base.with("a_w_kg_m2_s05", nil), moved.with("a_w_kg_m2_s05", 0.1), plain(), other, "unclear", ""}, // one file has no such column
		"the configuration":    {base, moved, plain(), plain().with("configuration_sha256", "bb"), "method changed", "configuration"},
		"seed and weather":     {base, moved, plain().with("weather", "w1"), plain().with("weather", "w2").with("seed", 2), "method changed", "seed; weather"},
		"weather in one only":  {base, moved, plain(), plain().with("weather", "w2"), "unclear", ""},
		"both":                 {base, thick, plain(), other.with("version", "2"), "both changed", "wall_thickness_mm 500 → 450; version"},
		"the tier of a row":    {base, moved.with("tier", "transient"), hourly, hourly, "neighbours", "judged by tier steady → transient"},
		"the other buildings":  {base.with("tier", "transient"), moved.with("tier", "transient"), hourly, hourly, "neighbours", ""},
		// With other files, a fact that has no column may have moved it.
		"other files":        {base.with("tier", "transient"), moved.with("tier", "transient"), hourly, other.with("tier", "transient"), "unclear", ""},
		"steady, no surface": {base, moved, plain(), plain(), "unclear", ""},
		// What is only carried to the tables explains nothing.
		"date of survey, own column": {base, moved.with("last_survey", "2024-01-01", "tenancy", "sold"), plain(), other, "unclear", ""},
		"inputs hash, same": {base.with("tier", "transient", "inputs_sha256", "p"), moved.with("tier", "transient", "inputs_sha256", "p"),
			hourly, other.with("tier", "transient"), "neighbours", ""},
		"inputs hash, differs": {base.with("inputs_sha256", "p"), moved.with("inputs_sha256", "q"), plain(), other, "input changed", "a fact that the rankings do not show"},
	} {
		t.Run(name, func(t *testing.T) {
			got := tables(t, output(t, c.oldRun, c.old), output(t, c.newRun, c.new), 0)["rows"]
			if reason, _ := cell(t, got, "A", "x", "reason"); reason != c.reason {
				t.Errorf("reason %q, want %q", reason, c.reason)
			}
			if differs, _ := cell(t, got, "A", "x", "what differs"); differs != c.differs {
				t.Errorf("what differs: %q, want %q", differs, c.differs)
			}
		})
	}
}

// A fact that was a blank and is given now is a change of input.
func TestBlankBecomesKnown(t *testing.T) {
	fill := judged("Z", "x", 1, "suited", 0.1).with("a_w_kg_m2_s05", 0.2)
	base := judged("A", "x", 1, "suited", 0.5)
	a, b := output(t, plain(), base, fill), output(t, plain(), base.with("a_w_kg_m2_s05", 0.1, "utilisation", 0.6), fill)
	if d, _ := cell(t, tables(t, a, b, 0)["rows"], "A", "x", "what differs"); d != "a_w_kg_m2_s05 (none) → 0.1" {
		t.Errorf("what differs: %q", d)
	}
}

func TestSummaryAndOrder(t *testing.T) {
	old := output(t, plain(),
		judged("A", "x", 1, "suited", 0.5), judged("A", "y", 2, "suited", 0.6),
		judged("B", "x", 1, "suited", 0.5), judged("B", "y", 2, "survey first", 0.9),
		judged("C", "x", 1, "suited", 0.5), judged("C", "y", 2, "suited", 0.6),
		judged("GONE", "x", 1, "suited", 0.5),
	)
	new := output(t, plain(),
		judged("NEW", "x", 1, "suited", 0.5),
		judged("A", "y", 1, "suited", 0.6), judged("A", "x", 2, "not suited", 1.5), // its best fell by three grades
		judged("B", "x", 1, "suited", 0.7), judged("B", "y", 2, "not suited", 1.9), // a second choice fell by one
		judged("C", "x", 1, "suited", 0.5), judged("C", "y", 2, "suited", 0.6), judged("C", "z", 3, "suited", 0.9),
	)
	got := tables(t, old, new, 0)
	for name, want := range map[string][][]string{
		"verdicts": {{"suited", "not suited", "1"}, {"survey first", "not suited", "1"}},
		"best":     {{"x", "y", "1"}},
		"reasons":  {{"added", "0", "2"}, {"removed", "0", "1"}, {"unclear", "2", "1"}},
	} {
		if !reflect.DeepEqual(got[name].Rows, want) {
			t.Errorf("table %s: %v, want %v", name, got[name].Rows, want)
		}
	}
	var order []string
	for _, r := range got["rows"].Rows {
		order = append(order, r[0]+" "+r[1])
	}
	if want := "A x,B y,GONE x,NEW x,C z,B x"; strings.Join(order, ",") != want {
		t.Errorf("order %v, want %s", order, want)
	}
	if d, _ := cell(t, got["rows"], "C", "z", "what differs"); d != "strategy" {
		t.Errorf("a new strategy: %q", d)
	}
	if top := tables(t, old, new, 2)["rows"]; len(top.Rows) != 2 || !strings.Contains(top.Note, "2 of 6") {
		t.Errorf("top 2: %d rows, note %q", len(top.Rows), top.Note)
	}
}

// Rankings with nothing but what they must have are compared by verdict alone;
// chances are compared where there are some.
func TestColumnsMayLackOrGrow(t *testing.T) {
	bare := row{"building_id": "A", "strategy": "x", "verdict": "suited"}
	got := tables(t, output(t, plain(), bare), output(t, plain(), judged("A", "x", 1, "survey first", 0.5).with("chance", 0.2, "new_column", 3)), 0)["rows"]
	for column, want := range map[string]string{"old verdict": "suited", "new verdict": "survey first", "old utilisation": "", "new utilisation": "0.500", "old chance": "", "new chance": "0.200"} {
		if s, _ := cell(t, got, "A", "x", column); s != want {
			t.Errorf("%s: %q, want %q", column, s, want)
		}
	}
}

func TestFoldersRefused(t *testing.T) {
	good := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
	broken := func(change func(dir string) error) string {
		dir := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
		if err := change(dir); err != nil {
			t.Fatal(err)
		}
		return dir
	}
	put := func(name, body string) func(string) error {
		return func(dir string) error { return os.WriteFile(filepath.Join(dir, name), []byte(body), 0o644) }
	}
	for name, c := range map[string]struct{ dir, says string }{
		"missing":          {filepath.Join(t.TempDir(), "none"), "--out"},
		"a file":           {filepath.Join(good, report.ManifestJSON), "name the folder"},
		"no manifest":      {broken(func(d string) error { return os.Remove(filepath.Join(d, report.ManifestJSON)) }), "no run.json"},
		"no ranking":       {broken(func(d string) error { return os.Remove(filepath.Join(d, report.RankingParquet)) }), "no ranking.parquet"},
		"not JSON":         {broken(put(report.ManifestJSON, "<html>")), "run wallsift screen again"},
		"foreign manifest": {broken(put(report.ManifestJSON, `{"version": "3"}`)), "configuration_sha256"},
		"not Parquet":      {broken(put(report.RankingParquet, "building_id\nA\n")), "run wallsift screen again"},
		"other Parquet":    {output(t, plain(), row{"name": "A"}), "no column building_id"},
		"cut off": {broken(func(d string) error {
			path := filepath.Join(d, report.RankingParquet)
			return os.Truncate(path, 200)
		}), "run wallsift screen again"},
	} {
		for _, pair := range [][2]string{{good, c.dir}, {c.dir, good}} {
			_, err := compare.Folders(t.Context(), pair[0], pair[1], 0)
			if !errors.Is(err, compare.ErrFolder) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: error %v, want one that says %q", name, err, c.says)
			}
		}
	}
}

// Damaged bytes in the middle of a ranking give an error or an answer, no panic.
func TestDamagedRanking(t *testing.T) {
	good := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
	b, err := os.ReadFile(filepath.Join(good, report.RankingParquet))
	if err != nil {
		t.Fatal(err)
	}
	for at := 4; at < len(b)-8; at += 11 {
		dir := output(t, plain(), judged("A", "x", 1, "suited", 0.5))
		body := append([]byte(nil), b...)
		body[at] ^= 0xff
		if err := os.WriteFile(filepath.Join(dir, report.RankingParquet), body, 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := compare.Folders(t.Context(), good, dir, 0); err != nil && !errors.Is(err, compare.ErrFolder) {
			t.Errorf("byte %d: %v", at, err)
		}
	}
}
