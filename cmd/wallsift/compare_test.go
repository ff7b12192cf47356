package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

const steadyTier = "run.tier=steady"

func screened(t *testing.T, inventory string, args ...string) string {
	t.Helper()
	dir := t.TempDir()
	if s := call(t, t.Context(), append([]string{"screen", inventory, "--set", steadyTier, "--out", dir}, args...)...); s.code != exitDone {
		t.Fatalf("exit code %d: %s", s.code, s.err)
	}
	return dir
}

func TestCompareRuns(t *testing.T) {
	old := screened(t, write(t, "a.csv", header+good))
	new := screened(t, write(t, "b.csv", header+strings.Replace(good, "A,500", "A,250", 1)+"C,500,brick_common,4c,moderate,none\n"))
	for format, check := range map[string]func(*testing.T, string) int{"csv": parseCSV, "markdown": parseMarkdown, "table": parseTable} {
		s := call(t, t.Context(), "compare", old, new, "--format", format, "--top", "0")
		if s.code != exitDone {
			t.Fatalf("%s: exit code %d: %s", format, s.code, s.err)
		}
		if check(t, s.out) < 5 {
			t.Errorf("%s: few rows:\n%s", format, s.out)
		}
		for _, want := range []string{"1 home has new facts.", "1 building is new.", "500 → 250"} {
			if !strings.Contains(s.out, want) {
				t.Errorf("%s: no %q in\n%s", format, want, s.out)
			}
		}
	}
	other := screened(t, write(t, "a.csv", header+good), "--set", "run.seed=9")
	if s := call(t, t.Context(), "compare", old, other, "--format", "csv"); s.code != exitDone || !strings.Contains(s.out, "differences,settings,seed,1 → 9\n") {
		t.Errorf("exit code %d:\n%s%s", s.code, s.out, s.err)
	}
}

// Code 4 says that something moved, to who asks for it; the report is the same.
func TestCompareFailIfMoved(t *testing.T) {
	old := screened(t, write(t, "a.csv", header+good))
	new := screened(t, write(t, "a.csv", header+strings.Replace(good, "A,500", "A,250", 1)))
	for _, c := range []struct {
		new   string
		moved bool
		args  []string
		code  int
	}{{new, true, nil, exitDone}, {new, true, []string{"--fail-if-moved"}, exitMoved}, {old, false, []string{"--fail-if-moved"}, exitDone}} {
		s := call(t, t.Context(), append([]string{"compare", old, c.new, "--format", "json"}, c.args...)...)
		var got struct{ Moved bool }
		if err := json.Unmarshal([]byte(s.out), &got); err != nil || s.code != c.code || got.Moved != c.moved {
			t.Errorf("%v: exit code %d, want %d; moved %v; %v", c.args, s.code, c.code, got.Moved, err)
		}
	}
}

func TestCompareBadUsage(t *testing.T) {
	dir := screened(t, write(t, "a.csv", header+good))
	for name, args := range map[string][]string{
		"one folder": {dir}, "three folders": {dir, dir, dir}, "no such folder": {dir, filepath.Join(dir, "none")},
		"empty folder": {t.TempDir(), dir}, "a format of nobody": {dir, dir, "--format", "tablet"},
	} {
		if s := call(t, t.Context(), append([]string{"compare"}, args...)...); s.code != exitUsage || s.out != "" || s.err == "" {
			t.Errorf("%s: exit code %d, %q, %q", name, s.code, s.out, s.err)
		}
	}
}
