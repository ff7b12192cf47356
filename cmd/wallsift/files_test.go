package main

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/screen/report"
)

func manifestOf(t *testing.T, dir string) (m report.Manifest) {
	t.Helper()
	if err := json.Unmarshal([]byte(files(t, dir)[report.ManifestJSON]), &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// A file that is not asked for is not written, and one of the last run goes.
func TestFilesAreChosen(t *testing.T) {
	dir, list := t.TempDir(), homes(t)
	steady := []string{"screen", list, "--out", dir, "--tier", "steady"}
	if s := call(t, t.Context(), steady...); s.code != exitDone || len(manifestOf(t, dir).Files) != 7 {
		t.Fatalf("%d, %v: %s", s.code, manifestOf(t, dir).Files, s.err)
	}
	s := call(t, t.Context(), append(steady, "--set", "output.files=ranking.parquet,survey.csv")...)
	want := []string{"ranking.parquet", "rejects.csv", "run.json", "survey.csv"}
	if got := slices.Sorted(maps.Keys(files(t, dir))); s.code != exitDone || !slices.Equal(got, want) {
		t.Errorf("%d, %q: %s", s.code, got, s.err)
	}
	if got := manifestOf(t, dir).Files; !slices.Equal(got, []string{"ranking.parquet", "survey.csv"}) {
		t.Errorf("run.json names %q", got)
	}
	s = call(t, t.Context(), append(steady, "--set", "output.files=ranking.xls")...)
	if s.code != exitUsage || !strings.Contains(s.err, "worklist.csv, survey.csv, ranking.xlsx") {
		t.Errorf("%d: %s", s.code, s.err)
	}
}

// Of a run with more homes than people can look through, terminal, page and
// run.json say what was left out and where it is.
func TestManyHomesAreCutAndItIsSaid(t *testing.T) {
	dir := t.TempDir()
	s := call(t, t.Context(), "screen", homes(t), "--out", dir, "--tier", "steady", "--set", "output.full_homes=20")
	got := files(t, dir)
	if s.code != exitDone || got["worklist.csv"] != "" || got["ranking.csv"] != "" || got["places.geojson"] != "" || got["ranking.xlsx"] == "" {
		t.Fatalf("%d, %q: %s", s.code, slices.Sorted(maps.Keys(got)), s.err)
	}
	for _, words := range []string{"show 20 under every strategy", "all rows are in ranking.parquet", "Not written at this size: ranking.csv, worklist.csv, places.geojson"} {
		for where, text := range map[string]string{"terminal": s.err, "run.json": got["run.json"], "page": got["report.html"]} {
			if !strings.Contains(text, words) {
				t.Errorf("%s does not say %q", where, words)
			}
		}
	}
}

// No byte of a result depends on the number of workers, nor on who gave it.
func TestWorkersChangeNoByte(t *testing.T) {
	list, want := homes(t), map[string]string(nil)
	for _, more := range [][]string{nil, {"--workers", "1"}, {"--workers", "3"}, {"--set", "run.workers=2"}} {
		dir := t.TempDir()
		if s := call(t, t.Context(), append([]string{"screen", list, "--out", dir, "--tier", "steady", "--set", "input.batch_rows=16"}, more...)...); s.code != exitDone {
			t.Fatal(s.err)
		}
		got := files(t, dir)
		got[report.ManifestJSON] = strings.ReplaceAll(got[report.ManifestJSON], dir, "")
		if want == nil {
			want = got
		}
		for name := range want {
			if want[name] != got[name] {
				t.Errorf("%q: %s differs: %s", more, name, cmp.Diff(want["run.json"], got["run.json"]))
			}
		}
	}
}
