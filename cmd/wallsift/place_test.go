package main

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// results makes a folder with the last run's files, a file of somebody else's, and
// the next run's files on their way.
func twoFolders(t *testing.T) (to, from string, names []string) {
	t.Helper()
	to = filepath.Join(t.TempDir(), "out")
	from = filepath.Join(to, unfinishedPrefix+"1")
	if err := os.MkdirAll(from, 0o755); err != nil {
		t.Fatal(err)
	}
	names = []string{"a.csv", "b.csv", "c.csv"}
	for _, n := range names {
		for dir, text := range map[string]string{to: "old", from: "new"} {
			if err := os.WriteFile(filepath.Join(dir, n), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := os.WriteFile(filepath.Join(to, "mine.txt"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	return to, from, names
}

func contents(t *testing.T, dir string, names ...string) (out []string) {
	t.Helper()
	for _, n := range names {
		b, err := os.ReadFile(filepath.Join(dir, n))
		if err != nil {
			b = []byte("none")
		}
		out = append(out, string(b))
	}
	return out
}

func allOf(list []string, want string) bool {
	for _, s := range list {
		if s != want {
			return false
		}
	}
	return true
}

func TestResultsAppearTogether(t *testing.T) {
	exchange := swap
	defer func() { swap = exchange }()
	for name, s := range map[string]func(a, b string) error{
		"exchanged": exchange, "one by one": nil, "exchange refused": func(string, string) error { return errors.New("not here") },
	} {
		to, from, names := twoFolders(t)
		swap = s
		if err := place(from, to, names[:2], names); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if got := contents(t, to, names...); !allOf(got[:2], "new") || got[2] != "none" {
			t.Errorf("%s: %v; the last is of the run before", name, got)
		}
		if got := contents(t, to, "mine.txt"); got[0] != "mine" {
			t.Errorf("%s: a file of somebody else's is %q", name, got[0])
		}
	}
}

// Each step is made to fail in turn: by a file that is missing among the new ones
// when folders are exchanged, and by a folder in the way of one name. The old
// results then stand as they were.
func TestFailureLeavesTheOldResultsWhole(t *testing.T) {
	exchange := swap
	defer func() { swap = exchange }()
	for _, s := range []func(a, b string) error{exchange, nil} {
		for k := range 3 {
			swap = s
			to, from, names := twoFolders(t)
			if err := os.Remove(filepath.Join(from, names[k])); err != nil {
				t.Fatal(err)
			}
			if err := place(from, to, names, []string{"mine.txt"}); err == nil {
				t.Errorf("file %d is missing, yet nothing failed", k)
			}
			if got := contents(t, to, names...); !allOf(got, "old") || contents(t, to, "mine.txt")[0] != "mine" {
				t.Errorf("file %d failed: %v", k, got)
			}
		}
	}
}

// Where there were no results before, a failure leaves none behind.
func TestFailureLeavesNoHalfOfAFirstRun(t *testing.T) {
	exchange := swap
	defer func() { swap = exchange }()
	swap = nil
	to, from, names := twoFolders(t)
	for _, n := range names {
		if err := os.Remove(filepath.Join(to, n)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Remove(filepath.Join(from, names[2])); err != nil {
		t.Fatal(err)
	}
	if err := place(from, to, names, nil); err == nil {
		t.Error("a file is missing, yet nothing failed")
	}
	if got := contents(t, to, names...); !allOf(got, "none") {
		t.Errorf("left behind: %v", got)
	}
}
