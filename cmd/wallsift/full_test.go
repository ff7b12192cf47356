package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What cannot be written is never taken for done, whatever prints it: tables, help,
// cobra's own texts.
func TestFullDiskBehindTheOutput(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("the system has no device that is always full:", err)
	}
	defer full.Close()
	list := write(t, "a.csv", header+good)
	run1 := filepath.Join(t.TempDir(), "run")
	if s := call(t, t.Context(), "screen", list, "--tier", "steady", "--out", run1); s.code != exitDone {
		t.Fatal(s.err)
	}
	was := os.Stdout
	defer func() { os.Stdout = was }()
	os.Stdout = full
	for _, args := range [][]string{
		{"screen", list, "--tier", "steady", "--out", run1}, {"screen", list, "--tier", "steady", "--out", run1, "--format", "markdown"},
		{"check", list}, {"list", "limits"}, {"config"}, {"compare", run1, run1}, {"explain", list, "--tier", "steady", "--building", "A"},
		{"programme", run1, "--homes", "1", "--out", t.TempDir()},
		{}, {"--help"}, {"--version"}, {"help"}, {"help", "columns"}, {"screen", "--help"}, {"completion", "bash"},
	} {
		if code := run(t.Context(), args); code != exitFailed {
			t.Errorf("%s: exit code %d", strings.Join(args, " "), code)
		}
	}
}
