package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/screen/report"
)

func TestScreenDemo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "folder")
	s := call(t, t.Context(), "screen", demo, "--out", dir)
	if s.code != exitDone {
		t.Fatalf("exit code %d: %s", s.code, s.err)
	}
	got := files(t, dir)
	if len(got) != 9 {
		t.Errorf("%d files", len(got))
	}
	for _, name := range []string{"ranking.csv", "ranking.parquet", "ranking.xlsx", "worklist.csv", "survey.csv", "places.geojson", "report.html", "rejects.csv", "run.json"} {
		if got[name] == "" {
			t.Errorf("%s is missing or empty", name)
		}
	}
	var m struct {
		Schema  int            `json:"schema"`
		Summary report.Summary `json:"summary"`
	}
	if err := json.Unmarshal([]byte(got["run.json"]), &m); err != nil {
		t.Fatal(err)
	}
	// testdata/README.md: 402 homes and a pasted line, 19 of them bad.
	best := 0
	for _, n := range m.Summary.Best {
		best += n
	}
	if c := m.Summary; m.Schema != report.Schema || c.Homes != 384 || c.Walls != 0 || c.Rejected != 19 || best != 384 || c.SavedKWh < 1e5 || c.SavedAt < 100 {
		t.Errorf("%d, %+v", m.Schema, c)
	}
	if !strings.Contains(s.err, "384 buildings screened, 19 rows rejected") || !strings.Contains(s.err, dir) {
		t.Errorf("closing words: %s", s.err)
	}
	if strings.Contains(s.out, ".unfinished") || strings.Contains(s.err, ".unfinished") {
		t.Error("the working folder is shown")
	}
}

func TestExitCodes(t *testing.T) {
	bad := write(t, "bad.yaml", "run:\n  max_rejected_shar: 0.5\n")
	for _, c := range []struct {
		name string
		args []string
		code int
		says []string
	}{
		{"unknown flag", []string{"screen", demo, "--ouput", "x"}, exitUsage, []string{"--ouput"}},
		{"unknown key in a file", []string{"screen", demo, "--config", bad}, exitUsage, []string{"max_rejected_shar", `"max_rejected_share"`, bad}},
		{"unknown key in --set", []string{"screen", demo, "--set", "run.sed=4"}, exitUsage, []string{"run.sed", "seed"}},
		{"--set without value", []string{"screen", demo, "--set", "run.seed"}, exitUsage, []string{"key=value"}},
		{"word for a number", []string{"screen", demo, "--workers", "many"}, exitUsage, []string{"workers", "many"}},
		{"missing configuration", []string{"screen", demo, "--config", "nowhere.yaml"}, exitUsage, []string{"nowhere.yaml"}},
		{"no inventory", []string{"screen"}, exitUsage, []string{"no inventory"}},
		{"missing inventory", []string{"screen", "nowhere.csv"}, exitUsage, []string{"nowhere.csv"}},
		{"header only", []string{"screen", write(t, "empty.csv", header)}, exitFailed, []string{"no building"}},
		{"no row is good", []string{"screen", write(t, "none.csv", header+"A,1,x,y,z,w\n")}, exitFailed, []string{"no building", "rejects.csv"}},
		{"a column is missing", []string{"screen", write(t, "less.csv", "building_id,stone_type\nA,granite\n")}, exitFailed, []string{"wall_thickness"}},
		{"too many rejects", []string{"screen", demo, "--set", "run.max_rejected_share=0.01"}, exitRejected, []string{"4.7 %", "run.max_rejected_share"}},
		{"explain an unknown id", []string{"explain", demo, "--building", "HX-00002"}, exitUsage, []string{"HX-00002", "did you mean"}},
		{"explain an unknown strategy", []string{"explain", demo, "--building", "HX-0001", "--strategy", "draind_cavity"}, exitUsage, []string{`"drained_cavity"`}},
		{"list an unknown table", []string{"list", "materal"}, exitUsage, []string{"material"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			args := c.args
			if args[0] == "screen" {
				args = append(args, "--out", t.TempDir())
			}
			s := call(t, t.Context(), args...)
			if s.code != c.code {
				t.Errorf("exit code %d, expected %d; %s", s.code, c.code, s.err)
			}
			for _, words := range c.says {
				if !strings.Contains(s.err, words) {
					t.Errorf("%q is not in: %s", words, s.err)
				}
			}
			if strings.Contains(s.err, "goroutine") {
				t.Errorf("a stack trace: %s", s.err)
			}
		})
	}
}

func TestBadUsageHasItsExitCode(t *testing.T) {
	for _, args := range [][]string{{"scren", demo}, {"explain", demo}, {"list"}, {"list", "materials", "stations"}, {"config", "extra"}} {
		if s := call(t, t.Context(), args...); s.code != exitUsage {
			t.Errorf("%v: exit code %d, expected %d; %s", args, s.code, exitUsage, s.err)
		}
	}
}

func TestResultsReplaceTheLastOnes(t *testing.T) {
	dir := t.TempDir()
	call(t, t.Context(), "screen", demo, "--out", dir)
	call(t, t.Context(), "screen", write(t, "a.csv", header+good), "--out", dir)
	got := files(t, dir)
	if len(got) != 9 || strings.Contains(got["ranking.csv"], "HX-0001") || !strings.Contains(got["ranking.csv"], "granite_rubble") {
		t.Errorf("%d files, old rows kept: %v", len(got), strings.Contains(got["ranking.csv"], "HX-0001"))
	}
}

// The configuration that is printed is read back as the same configuration.
func TestConfigPrintsWhatItReads(t *testing.T) {
	first := call(t, t.Context(), "config", "--plain", "--set", "run.seed=7")
	if first.code != exitDone || !strings.Contains(first.out, "seed: 7") {
		t.Fatal(first.err)
	}
	again := call(t, t.Context(), "config", "--plain", "--config", write(t, "mine.yaml", first.out))
	if again.code != exitDone {
		t.Fatal(again.err)
	}
	if d := cmp.Diff(first.out, again.out); d != "" {
		t.Error(d)
	}
}

func TestHelpAndVersion(t *testing.T) {
	for _, args := range [][]string{{"--help"}, {"--version"}, {"screen", "--help"}, {"explain", "--help"}, {"config", "--help"}, {"list", "--help"}} {
		if s := call(t, t.Context(), args...); s.code != exitDone || s.out == "" || s.err != "" {
			t.Errorf("%v: exit code %d, %q", args, s.code, s.err)
		}
	}
}
