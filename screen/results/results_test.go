package results_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/screen/report"
	"wallsift/screen/results"
	"wallsift/screen/results/resultstest"
)

var run = resultstest.Row{"version": "1", "configuration_sha256": "aa"}

func twoHomes(t *testing.T) string {
	return resultstest.Folder(t, run,
		resultstest.Row{"building_id": "A", "rank": 1, "gates": []string{"salts", "damp"}, "share": 0.5},
		resultstest.Row{"building_id": "B", "rank": 2, "gates": []string{}})
}

// What a run wrote is read back, cell by cell, as far as it has the columns.
func TestRankingIsReadBack(t *testing.T) {
	f, err := results.Open(twoHomes(t), "building_id", "rank")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if f.Manifest.Version != "1" || !f.Has("gates") || f.Has("verdict") {
		t.Errorf("%q, %q", f.Manifest.Version, f.Columns)
	}
	var got [][]string
	err = f.Ranking(t.Context(), []string{"building_id", "gates", "share", "verdict"}, func(r results.Row) {
		var cells []string
		for _, name := range []string{"building_id", "gates", "share", "rank"} { // rank was not asked for
			cells = append(cells, r.Text(name))
		}
		got = append(got, append(cells, fmt.Sprint(r.Number("share"))))
	})
	if d := cmp.Diff([][]string{{"A", "salts damp", "0.5", "", "0.5"}, {"B", "", "", "", "NaN"}}, got); d != "" || err != nil {
		t.Error(err, d)
	}
	stopped, stop := context.WithCancel(t.Context())
	stop()
	if err := f.Ranking(stopped, []string{"building_id"}, func(results.Row) {}); !errors.Is(err, context.Canceled) {
		t.Errorf("a reader that is stopped: %v", err)
	}
}

// A hash is held against the file as it lies there.
func TestWhole(t *testing.T) {
	dir := twoHomes(t)
	sum, err := report.HashFile(filepath.Join(dir, report.RankingParquet))
	if err != nil {
		t.Fatal(err)
	}
	for hash, says := range map[string]string{sum: "", "": "", strings.Repeat("0", 64): "is not the one that run.json is of"} {
		if err := os.WriteFile(filepath.Join(dir, report.ManifestJSON), fmt.Appendf(nil, `{"version": "1", "configuration_sha256": "aa", "ranking_parquet_sha256": %q}`, hash), 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := results.Open(dir)
		if says == "" && err != nil || says != "" && (!errors.Is(err, results.ErrFolder) || !strings.Contains(err.Error(), says)) {
			t.Errorf("%q: %v", hash, err)
		}
		if f != nil {
			f.Close()
		}
	}
}

// CSV files come back by column and without the guard against formulas; one that is
// missing has no rows, one that is torn is an error.
func TestTable(t *testing.T) {
	dir := twoHomes(t)
	f, err := results.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	read := func(body string) (got []map[string]string, err error) {
		if err := os.WriteFile(filepath.Join(dir, report.SurveyCSV), []byte(body), 0o600); err != nil {
			t.Fatal(err)
		}
		err = f.Table(report.SurveyCSV, func(cells map[string]string) { got = append(got, cells) })
		return got, err
	}
	got, err := read("building_id,way\n\"'=A\",look\n\"x;'=1\",\"'-3\"\n")
	if d := cmp.Diff([]map[string]string{{"building_id": "=A", "way": "look"}, {"building_id": "x;=1", "way": "'-3"}}, got); d != "" || err != nil {
		t.Error(err, d)
	}
	if _, err := read("building_id,way\n\"A"); !errors.Is(err, results.ErrFolder) {
		t.Errorf("a torn file: %v", err)
	}
	if err := f.Table("nowhere.csv", func(map[string]string) { t.Error("a row") }); err != nil {
		t.Errorf("a file that is missing: %v", err)
	}
}

// What is no folder of a run, or not a whole one, is said, with what to do.
func TestFoldersThatAreNone(t *testing.T) {
	broken := func(change func(dir string) error) string {
		dir := twoHomes(t)
		if err := change(dir); err != nil {
			t.Fatal(err)
		}
		return dir
	}
	parquet := func(dir string) string { return filepath.Join(dir, report.RankingParquet) }
	for name, c := range map[string]struct{ dir, says string }{
		"nothing":       {filepath.Join(t.TempDir(), "no"), "there is no such folder; name the folder that a run was given with --out"},
		"a file":        {parquet(twoHomes(t)), "this is a file; name the folder it lies in"},
		"no manifest":   {broken(func(dir string) error { return os.Remove(filepath.Join(dir, report.ManifestJSON)) }), "there is no run.json in it; run wallsift screen again"},
		"no ranking":    {broken(func(dir string) error { return os.Remove(parquet(dir)) }), "there is no ranking.parquet in it"},
		"no Parquet":    {broken(func(dir string) error { return os.WriteFile(parquet(dir), []byte("PAR1, or is it"), 0o600) }), "ranking.parquet"},
		"cut off":       {broken(func(dir string) error { return os.Truncate(parquet(dir), 100) }), "ranking.parquet cannot be read"},
		"another table": {twoHomes(t), "ranking.parquet has no column verdict, so it is not a ranking"},
	} {
		f, err := results.Open(c.dir, "building_id", "verdict")
		if f != nil || !errors.Is(err, results.ErrFolder) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
