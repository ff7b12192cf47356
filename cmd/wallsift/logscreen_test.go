package main

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// events reads a JSON log; every line of the standard error must be one.
func events(t *testing.T, stderr string) (names []string, last map[string]any) {
	t.Helper()
	for line := range strings.Lines(stderr) {
		last = nil
		if err := json.Unmarshal([]byte(line), &last); err != nil {
			t.Fatalf("%v: %s", err, line)
		}
		names = append(names, last["msg"].(string))
	}
	return names, last
}

func TestScreenLog(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	s := call(t, t.Context(), "screen", demo, "--out", t.TempDir(), "--log", "json", "--set", "output.address=street")
	names, last := events(t, s.err)
	want := []string{"started", "input opened", "stage done", "stage done", "rejected", "note", "done"} // the note: some are not on the map
	if s.code != exitDone || !slices.Equal(names, want) || last["buildings"] != 384.0 || last["rejected_rows"] != 19.0 {
		t.Errorf("exit code %d, %v, %v", s.code, names, last)
	}
	for name, c := range map[string]struct {
		args []string
		code int
		says string
	}{
		"too many rejected": {[]string{"screen", demo, "--set", "run.max_rejected_share=0.01"}, exitRejected, "done, not all of it"},
		"no such file":      {[]string{"screen", "nowhere.csv"}, exitUsage, "failed"},
		"bad setting":       {[]string{"screen", demo, "--set", "run.sed=1"}, exitUsage, "failed"},
		"check":             {[]string{"check", "nowhere.csv"}, exitUsage, "failed"},
	} {
		args := append(c.args, "--log", "json", "--out", t.TempDir())
		s := call(t, t.Context(), args...)
		_, last := events(t, s.err)
		if s.code != c.code || last["msg"] != c.says || last["exit_code"] != float64(c.code) || last["error"] == "" {
			t.Errorf("%s: exit code %d, %v", name, s.code, last)
		}
	}
}
