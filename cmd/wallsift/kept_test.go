package main

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Two nights with a store: the second computes nothing and gives the same bytes;
// after damage it says so, computes what was lost, and gives the same bytes.
func TestStoreBetweenNights(t *testing.T) {
	store := filepath.Join(t.TempDir(), "store")
	list := write(t, "a.csv", header+good)
	night := func(args ...string) (map[string]string, said) {
		t.Helper()
		dir := t.TempDir()
		s := call(t, t.Context(), append([]string{"screen", list, "--set", "run.tier=transient", "--set", "chance.draws=0", "--out", dir}, args...)...)
		if s.code != exitDone {
			t.Fatalf("exit code %d: %s", s.code, s.err)
		}
		return files(t, dir), s
	}
	same := func(what string, a, b map[string]string) {
		t.Helper()
		for name, body := range a {
			if b[name] != body {
				t.Errorf("%s: %s differs", what, name)
			}
		}
	}
	without, _ := night()
	first, s := night("--store", store)
	if !strings.Contains(s.err, ": 0 results found, ") {
		t.Errorf("first night: %s", s.err)
	}
	same("with a store", without, first)
	second, s := night("--store", store, "--log", "json")
	names, _ := events(t, s.err)
	if !strings.Contains(strings.Join(names, " "), "stage done store") || !strings.Contains(s.err, `"new":0,`) {
		t.Errorf("second night: %s", s.err)
	}
	same("second night", without, second)
	records, err := filepath.Glob(filepath.Join(store, "*", "*.record"))
	if err != nil || len(records) == 0 {
		t.Fatal(records, err)
	}
	b, err := os.ReadFile(records[0])
	if err != nil {
		t.Fatal(err)
	}
	b[10] ^= 1
	if err := os.WriteFile(records[0], b, 0o600); err != nil {
		t.Fatal(err)
	}
	third, s := night("--store", store)
	if !strings.Contains(s.err, "note: store "+store+": damaged records removed: 1;") || !strings.Contains(s.err, ", 1 new") {
		t.Errorf("after damage: %s", s.err)
	}
	same("after damage", without, third)
	for _, r := range records { // nothing can be read or written here
		if err := errors.Join(os.Remove(r), os.Mkdir(r, 0o700)); err != nil {
			t.Fatal(err)
		}
	}
	fourth, s := night("--store", store)
	if !strings.Contains(s.err, "note: store "+store+": writing failed, new results are not kept any more") {
		t.Errorf("where nothing can be written: %s", s.err)
	}
	same("where nothing can be written", without, fourth)
}

// What is wrong with a store is said in either form, also by a run that fails.
func TestStoreIsSpokenOf(t *testing.T) {
	list := write(t, "a.csv", header+good)
	store := t.TempDir()
	run := func(args ...string) said {
		return call(t, t.Context(), append([]string{"screen", "--set", steadyTier, "--out", t.TempDir(), "--store", store}, args...)...)
	}
	if s := run(list, "--log", "json"); s.code != exitDone || !strings.Contains(s.err, `"msg":"store"`) {
		t.Errorf("exit code %d: %s", s.code, s.err)
	}
	if err := os.WriteFile(filepath.Join(store, "notes.txt"), []byte("nothing of ours"), 0o600); err != nil {
		t.Fatal(err)
	}
	if s := run(list); s.code != exitDone || strings.Contains(s.err, "note: store") {
		t.Errorf("files of nobody's: exit code %d: %s", s.code, s.err)
	}
	if s := run("nowhere.csv", "--log", "json"); s.code != exitUsage || !strings.Contains(s.err, `"msg":"store"`) {
		t.Errorf("a run that fails: exit code %d: %s", s.code, s.err)
	}
	for _, days := range []string{"-1", "1000000", "soon"} {
		if s := run(list, "--store-days", days); s.code != exitUsage || s.out != "" {
			t.Errorf("--store-days %s: exit code %d, %s", days, s.code, s.err)
		}
	}
	for _, days := range []int{0, 1, 400} {
		if s := run(list, "--store-days", strconv.Itoa(days)); s.code != exitDone {
			t.Errorf("--store-days %d: exit code %d, %s", days, s.code, s.err)
		}
	}
	if s := call(t, t.Context(), "screen", list, "--set", steadyTier, "--out", t.TempDir(), "--store-days", "3"); s.code != exitUsage || !strings.Contains(s.err, "--store") {
		t.Errorf("days without a store: exit code %d, %s", s.code, s.err)
	}
}
