package main

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Folders of runs that are over go at once; one that a run holds, and folders of
// other names, stay.
func TestUnfinishedFoldersGo(t *testing.T) {
	if _, err := lock(t.TempDir()); errors.Is(err, errors.ErrUnsupported) {
		t.Skip("a system without locks on folders")
	}
	dir := t.TempDir()
	for _, name := range []string{".unfinished-1", ".unfinished-2", "kept"} {
		if err := os.MkdirAll(filepath.Join(dir, name, "before"), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	held, err := lock(filepath.Join(dir, ".unfinished-2"))
	if err != nil {
		t.Fatal(err)
	}
	defer held.Close()
	if s := call(t, t.Context(), "screen", write(t, "a.csv", header+good), "--set", steadyTier, "--out", dir); s.code != exitDone {
		t.Fatal(s.err)
	}
	got := files(t, dir)
	if got[".unfinished-1"] != "" || got[".unfinished-2"] == "" || got["kept"] == "" {
		t.Errorf("%v", got)
	}
}

// What a run leaves that is killed in its midst, the next one into the same place
// clears; while the first still runs it does not.
func TestKilledRunIsClearedByTheNext(t *testing.T) {
	if _, err := lock(t.TempDir()); errors.Is(err, errors.ErrUnsupported) {
		t.Skip("a system without locks on folders")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	parent := t.TempDir()
	dir := filepath.Join(parent, "results")
	first := exec.CommandContext(t.Context(), self, "screen", "-", "--out", dir)
	first.Env = append(os.Environ(), asCommand+"=1")
	in, err := first.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := first.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(in, header+good); err != nil { // and goes on waiting
		t.Fatal(err)
	}
	left := func(dir string) (out []string) {
		out, err := filepath.Glob(filepath.Join(dir, unfinishedPrefix+"*"))
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	work := ""
	for end := time.Now().Add(10 * time.Second); work == ""; time.Sleep(10 * time.Millisecond) {
		for _, f := range left(dir) {
			if held, err := lock(f); err == nil {
				held.Close() // it is made and not locked yet
			} else if errors.Is(err, errHeld) {
				work = f
			}
		}
		if time.Now().After(end) {
			t.Fatal("the run holds no folder")
		}
	}
	list := write(t, "a.csv", header+good)
	again := func() {
		t.Helper()
		if s := call(t, t.Context(), "screen", list, "--out", dir); s.code != exitDone {
			t.Fatal(s.err)
		}
	}
	again()
	if got := left(dir); len(got) != 1 || got[0] != work {
		t.Errorf("while the first run goes on: %q", got)
	}
	if err := first.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := first.Wait(); err == nil || !strings.Contains(err.Error(), "killed") {
		t.Fatalf("it ended otherwise: %v", err)
	}
	again()
	if got := append(left(dir), left(parent)...); len(got) > 0 {
		t.Errorf("left behind: %q", got)
	}
}
