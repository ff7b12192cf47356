package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// Folders of killed runs go after a week; one that something was written to
// since, and folders of other names, stay.
func TestUnfinishedFoldersGo(t *testing.T) {
	dir := t.TempDir()
	long := time.Now().Add(-8 * 24 * time.Hour)
	for name, touched := range map[string]bool{".unfinished-1": false, ".unfinished-2": true, "kept": false} {
		f := filepath.Join(dir, name)
		if err := os.Mkdir(f, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(f, "ranking.csv"), nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if !touched {
			os.Chtimes(filepath.Join(f, "ranking.csv"), long, long)
		}
		os.Chtimes(f, long, long)
	}
	if s := call(t, t.Context(), "screen", write(t, "a.csv", header+good), "--set", steadyTier, "--out", dir); s.code != exitDone {
		t.Fatal(s.err)
	}
	got := files(t, dir)
	if got[".unfinished-1"] != "" || got[".unfinished-2"] == "" || got["kept"] == "" {
		t.Errorf("%v", got)
	}
}
