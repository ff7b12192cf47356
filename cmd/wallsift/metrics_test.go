package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"wallsift/screen/report"
)

// The grammar of the text format, version 0.0.4: Prometheus documentation,
// "Exposition formats", text-based format, and "Data model" for names, both from
// memory.
var (
	helpLine   = regexp.MustCompile(`^# HELP ([a-zA-Z_:][a-zA-Z0-9_:]*) ((?:[^\\]|\\\\|\\n)*)$`)
	typeLine   = regexp.MustCompile(`^# TYPE ([a-zA-Z_:][a-zA-Z0-9_:]*) (counter|gauge|histogram|summary|untyped)$`)
	sampleLine = regexp.MustCompile(`^([a-zA-Z_:][a-zA-Z0-9_:]*)(\{(?:[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\n]|\\\\|\\"|\\n)*",?)*\})? (\S+)(?: -?[0-9]+)?$`)
)

// exposed reads a file in the text format and fails on what the format forbids:
// every line ends in a line feed, HELP and TYPE come once and before the samples of
// their name, the lines of a name stand together, no sample comes twice.
func exposed(t *testing.T, text string) map[string]float64 {
	t.Helper()
	if !strings.HasSuffix(text, "\n") {
		t.Error("the last line does not end in a line feed")
	}
	out, helped, typed, left := map[string]float64{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
	group := ""
	enter := func(name string) {
		if name != group {
			left[group] = true
			if group = name; left[name] {
				t.Errorf("the lines of %s do not stand together", name)
			}
		}
	}
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		if m := helpLine.FindStringSubmatch(line); m != nil {
			enter(m[1])
			if helped[m[1]] {
				t.Errorf("two HELP lines: %s", line)
			}
			helped[m[1]] = true
			continue
		}
		if m := typeLine.FindStringSubmatch(line); m != nil {
			enter(m[1])
			if typed[m[1]] {
				t.Errorf("two TYPE lines: %s", line)
			}
			typed[m[1]] = true
			continue
		}
		m := sampleLine.FindStringSubmatch(line)
		if m == nil {
			t.Errorf("not of the format: %q", line)
			continue
		}
		enter(m[1])
		x, err := strconv.ParseFloat(m[3], 64)
		if _, twice := out[m[1]+m[2]]; twice || err != nil {
			t.Errorf("%q: twice %v, %v", line, twice, err)
		}
		if !helped[m[1]] || !typed[m[1]] || !strings.HasPrefix(m[1], "wallsift_") {
			t.Errorf("no HELP, no TYPE or a foreign name: %q", line)
		}
		out[m[1]+m[2]] = x
	}
	return out
}

// The figures are those of run.json. Results do not depend on whether they are
// asked for; time and memory stand in them and in the log alone.
func TestMetricsOfARun(t *testing.T) {
	with, without, file := t.TempDir(), t.TempDir(), filepath.Join(t.TempDir(), "wallsift.prom")
	if err := os.WriteFile(file, []byte("of the night before"), 0o600); err != nil {
		t.Fatal(err)
	}
	before := time.Now().Unix()
	list := homes(t)
	s := call(t, t.Context(), "screen", list, "--out", with, "--metrics", file, "--log", "json")
	if s.code != exitDone || call(t, t.Context(), "screen", list, "--out", without).code != exitDone {
		t.Fatal(s.err)
	}
	folder := files(t, filepath.Dir(file))
	got := exposed(t, folder[filepath.Base(file)])
	if len(folder) != 1 {
		t.Errorf("left behind: %d files", len(folder))
	}
	a, b := files(t, with), files(t, without)
	for name := range b {
		if a[name] != b[name] {
			t.Errorf("%s differs", name)
		}
	}
	var m report.Manifest
	if err := json.Unmarshal([]byte(a["run.json"]), &m); err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"wallsift_homes": 77, "wallsift_walls": 0, "wallsift_rejected_rows": 2, "wallsift_exit_code": 0, "wallsift_unread_files": 0, // the lines of the file, by hand
		"wallsift_saved_kwh_per_year": m.Summary.SavedKWh}
	for verdict, n := range m.Summary.Best {
		want[`wallsift_best_strategy_homes{verdict="`+verdict+`"}`] = float64(n)
	}
	for name, x := range want {
		if y, there := got[name]; !there || y != x {
			t.Errorf("%s %v, expected %v", name, y, x)
		}
	}
	if at := int64(got["wallsift_finished_timestamp_seconds"]); at < before || at > time.Now().Unix() || got["wallsift_run_seconds"] <= 0 || got["wallsift_peak_memory_bytes"] < 1<<20 {
		t.Errorf("%v", got)
	}
	_, last := events(t, s.err)
	if last["buildings"] != float64(m.Summary.Homes) || last["saved_kwh_a"] != m.Summary.SavedKWh || last["peak_memory_bytes"].(float64) < 1<<20 || last["seconds"].(float64) <= 0 ||
		last["best_by_verdict"].(map[string]any)["survey_first"] != float64(m.Summary.Best["survey first"]) {
		t.Errorf("the last line of the log: %v", last)
	}
}

// A run that fails says so in the metrics, and says nothing of what it did not find.
func TestMetricsOfARunThatFails(t *testing.T) {
	file := filepath.Join(t.TempDir(), "wallsift.prom")
	s := call(t, t.Context(), "screen", "nowhere.csv", "--out", t.TempDir(), "--metrics", file)
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got := exposed(t, string(b))
	if _, there := got["wallsift_homes"]; there || s.code != exitUsage || got["wallsift_exit_code"] != exitUsage {
		t.Errorf("exit code %d, %v", s.code, got)
	}
	// Metrics that cannot be written are a failure, of results that stand.
	dir := t.TempDir()
	s = call(t, t.Context(), "screen", write(t, "a.csv", header+good), "--out", dir, "--metrics", filepath.Join(t.TempDir(), "none", "x"))
	if s.code != exitFailed || !strings.Contains(s.err, "--metrics") || files(t, dir)["run.json"] == "" {
		t.Errorf("exit code %d: %s", s.code, s.err)
	}
}
