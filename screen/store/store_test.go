package store_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"wallsift/screen/store"
)

func TestKeeps(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "folder")
	s := open(t, dir)
	if n := found(t, s, 10); n != 0 {
		t.Fatalf("%d entries in an empty store", n)
	}
	for i := range 100 {
		if err := s.Put(key(i), value(i)); err != nil {
			t.Fatal(err)
		}
		if v, ok := s.Get(key(i)); !ok || !bytes.Equal(v, value(i)) {
			t.Fatalf("entry %d cannot be read back", i)
		}
	}
	if err := s.Put(key(1000), nil); err != nil {
		t.Fatal(err)
	}
	closed(t, s)
	s = open(t, dir)
	if n := found(t, s, 100); n != 100 {
		t.Errorf("%d of 100 entries after opening again", n)
	}
	if v, ok := s.Get(key(1000)); !ok || len(v) != 0 {
		t.Errorf("an empty value came back as %v, %v", v, ok)
	}
	s.Get(key(7777))
	if got, want := s.Counters(), (store.Counters{Entries: 101, Hits: 101, Misses: 1}); got != want {
		t.Errorf("counters %+v, want %+v", got, want)
	}
	if err := s.Put(key(5), value(5)); err != nil || s.Counters().Written != 0 {
		t.Errorf("an entry that is kept was written again: %v, %+v", err, s.Counters())
	}
	closed(t, s)
	if _, ok := s.Get(key(1)); ok || s.Close() != nil {
		t.Error("a closed store must miss, and close again in silence")
	}
}

// Runs that find everything leave nothing behind.
func TestReadingMakesNoFiles(t *testing.T) {
	dir := t.TempDir()
	fill(t, dir, 0, 5)
	before := glob(t, dir, "*")
	s := open(t, dir)
	found(t, s, 5)
	closed(t, s)
	if after := glob(t, dir, "*"); len(after) != len(before) {
		t.Errorf("files before %v, after %v", before, after)
	}
}

func TestMethodsDoNotMeet(t *testing.T) {
	dir := t.TempDir()
	fill(t, dir, 0, 5)
	other, err := store.Open(dir, "hourly 2", store.KeepDays)
	if err != nil {
		t.Fatal(err)
	}
	if n := found(t, other, 5); n != 0 {
		t.Errorf("%d entries of another method", n)
	}
	if err := other.Put(key(1), []byte("two")); err != nil {
		t.Fatal(err)
	}
	closed(t, other)
	if n := found(t, open(t, dir), 5); n != 5 {
		t.Errorf("%d of 5 entries left after another method wrote", n)
	}
}

// A segment of this method's name with the header of another, and files of
// nobody's, are neither read nor destroyed, also by merging.
func TestForeignFilesStay(t *testing.T) {
	dir := t.TempDir()
	fill(t, dir, 0, 5)
	keys := glob(t, dir, "*.keys")[0]
	sound, err := os.ReadFile(keys)
	if err != nil {
		t.Fatal(err)
	}
	body := append([]byte(nil), sound...)
	body[20]++ // first byte of the format version
	later := strings.Replace(filepath.Base(keys), "v1-", "v2-", 1)
	for _, name := range []string{filepath.Base(keys), later, "notes.txt"} {
		if err := os.WriteFile(filepath.Join(dir, name), body, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	s := open(t, dir)
	if n, c := found(t, s, 5), s.Counters(); n != 0 || c.Damaged != 1 {
		t.Errorf("%d entries read, %d damaged, want 0 and 1", n, c.Damaged)
	}
	closed(t, s)
	for i := range store.MergeFrom + 1 {
		fill(t, dir, 10*i, 10*i+10)
	}
	for _, name := range []string{filepath.Base(keys), later, "notes.txt"} {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err != nil || !bytes.Equal(b, body) {
			t.Errorf("%s was changed: %v", name, err)
		}
	}
}

func TestMerges(t *testing.T) {
	dir := t.TempDir()
	const runs = 3 * store.MergeFrom
	for i := range runs {
		fill(t, dir, 10*i, 10*i+10)
		if n := len(glob(t, dir, "*.keys")); n >= store.MergeFrom {
			t.Fatalf("%d segments after %d runs", n, i+1)
		}
	}
	if k, v := len(glob(t, dir, "*.keys")), len(glob(t, dir, "*.values")); k != v {
		t.Errorf("%d files of keys, %d of values", k, v)
	}
	if n := found(t, open(t, dir), 10*runs); n != 10*runs {
		t.Errorf("%d of %d entries after merging", n, 10*runs)
	}
}

// A store that is open reads on while another merges its files away.
func TestReadsWhileMerged(t *testing.T) {
	dir := t.TempDir()
	for i := range store.MergeFrom - 1 {
		fill(t, dir, 10*i, 10*i+10)
	}
	s := open(t, dir)
	before := glob(t, dir, "*.keys")
	fill(t, dir, 500, 510)
	if after := glob(t, dir, "*.keys"); len(after) != 1 {
		t.Fatalf("nothing was merged: before %d, after %d segments", len(before), len(after))
	}
	if n := found(t, s, 10*(store.MergeFrom-1)); n != 10*(store.MergeFrom-1) {
		t.Errorf("%d entries read", n)
	}
}

// A segment that is being written to is not merged.
func TestLiveSegmentStays(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	if err := s.Put(key(0), value(0)); err != nil {
		t.Fatal(err)
	}
	for i := range 2 * store.MergeFrom {
		fill(t, dir, 10*i+1, 10*i+11)
	}
	for i := 1000; i < 1010; i++ {
		if err := s.Put(key(i), value(i)); err != nil {
			t.Fatal(err)
		}
	}
	closed(t, s)
	s = open(t, dir)
	for i := 1000; i < 1010; i++ {
		if _, ok := s.Get(key(i)); !ok {
			t.Errorf("entry %d of the live segment is lost", i)
		}
	}
	if n := found(t, s, 20*store.MergeFrom/2+1); n != 20*store.MergeFrom/2+1 {
		t.Errorf("%d entries", n)
	}
}

func TestConcurrentUse(t *testing.T) {
	dir := t.TempDir()
	fill(t, dir, 0, 200)
	s := open(t, dir)
	var g sync.WaitGroup
	for w := range 8 {
		g.Go(func() {
			for i := range 400 {
				i = (i*7 + w*50) % 400
				v, ok := s.Get(key(i))
				if ok && !bytes.Equal(v, value(i)) {
					t.Errorf("entry %d has a wrong value", i)
				}
				if !ok && i < 200 {
					t.Errorf("entry %d is lost", i)
				}
				if err := s.Put(key(i), value(i)); err != nil {
					t.Error(err)
				}
				s.Counters()
			}
		})
	}
	g.Wait()
	if n := s.Counters().Written; n != 200 {
		t.Errorf("%d entries written, want each new one once: 200", n)
	}
	closed(t, s)
	if n := found(t, open(t, dir), 400); n != 400 {
		t.Errorf("%d of 400 entries", n)
	}
}

func TestOpenRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		dir, method string
		days        int
	}{
		"a file": {file, method, 0}, "below a file": {filepath.Join(file, "x"), method, 0},
		"no method": {t.TempDir(), "", 0}, "a long method": {t.TempDir(), strings.Repeat("m", 5000), 0},
		"days below 0": {t.TempDir(), method, -1}, "days of centuries": {t.TempDir(), method, 1e6},
	} {
		if s, err := store.Open(c.dir, c.method, c.days); err == nil {
			s.Close()
			t.Errorf("%s was opened", name)
		}
	}
}
