package store_test

import (
	"math/rand/v2"
	"os"
	"testing"

	"wallsift/screen/store"
)

// Whatever byte is flipped, no entry but its own is lost, and never is a wrong
// value given. The lost one can be put again and then stays.
func TestFlippedBytes(t *testing.T) {
	const entries = 20
	rng := rand.New(rand.NewPCG(1, 2))
	for _, suffix := range []string{"*.keys", "*.values"} {
		for range 60 {
			dir := t.TempDir()
			fill(t, dir, 0, entries)
			file := glob(t, dir, suffix)[0]
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			at := rng.IntN(len(b))
			b[at] ^= byte(1 + rng.IntN(255))
			if err := os.WriteFile(file, b, 0o644); err != nil {
				t.Fatal(err)
			}
			s := open(t, dir)
			n, c := found(t, s, entries), s.Counters()
			inHeader := suffix == "*.keys" && at < len(b)-64*entries
			inLast := suffix == "*.keys" && at >= len(b)-64
			switch {
			case inHeader && (n != 0 || c.Damaged != 1):
				t.Errorf("byte %d of the header: %d entries, %d damaged", at, n, c.Damaged)
			case inLast && (n != entries-1 || c.Damaged != 0): // taken for unfinished, not counted
				t.Errorf("byte %d of the last record: %d entries", at, n)
			case !inHeader && !inLast && (n != entries-1 || c.Damaged != 1):
				t.Errorf("%s, byte %d: %d entries, %d damaged", suffix, at, n, c.Damaged)
			}
			closed(t, s)
			s = open(t, dir)
			found(t, s, entries) // finds out the damage, as a run does
			for i := range entries {
				if err := s.Put(key(i), value(i)); err != nil {
					t.Fatal(err)
				}
			}
			closed(t, s)
			s = open(t, dir)
			if n := found(t, s, entries); n != entries {
				t.Errorf("%s, byte %d: %d entries after they were put again", suffix, at, n)
			}
			closed(t, s)
		}
	}
}

// A merge leaves damaged entries out and keeps the rest.
func TestMergeDropsDamage(t *testing.T) {
	dir := t.TempDir()
	fill(t, dir, 0, 10)
	file := glob(t, dir, "*.values")[0]
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	b[len(b)-1] ^= 1
	if err := os.WriteFile(file, b, 0o644); err != nil {
		t.Fatal(err)
	}
	for i := 1; i < store.MergeFrom; i++ {
		fill(t, dir, 10*i, 10*i+10)
	}
	s := open(t, dir)
	if n, c := found(t, s, 10*store.MergeFrom), s.Counters(); n != 10*store.MergeFrom-1 || c.Damaged != 0 || c.Entries != n {
		t.Errorf("%d entries read, %+v", n, c)
	}
}

// A file cut anywhere gives what lies whole before the cut.
func TestTruncated(t *testing.T) {
	const entries = 12
	whole := t.TempDir()
	fill(t, whole, 0, entries)
	for _, suffix := range []string{".keys", ".values"} {
		info, err := os.Stat(glob(t, whole, "*"+suffix)[0])
		if err != nil {
			t.Fatal(err)
		}
		for size := info.Size(); size >= 0; size -= 37 {
			dir := t.TempDir()
			if err := os.CopyFS(dir, os.DirFS(whole)); err != nil {
				t.Fatal(err)
			}
			if err := os.Truncate(glob(t, dir, "*"+suffix)[0], size); err != nil {
				t.Fatal(err)
			}
			want := 0
			for sum := int64(0); suffix == ".values" && want < entries; want++ {
				if sum += int64(len(value(want))); sum > size {
					break
				}
			}
			if suffix == ".keys" {
				want = int(max(size-(info.Size()-64*entries), 0) / 64)
			}
			for range 2 { // also after the first Close has put the folder in order
				s := open(t, dir)
				if n := found(t, s, entries); n != want {
					t.Errorf("%s cut to %d bytes: %d entries, %d lie before the cut", suffix, size, n, want)
				}
				closed(t, s)
			}
		}
	}
}

// The folder vanishes under an open store: a miss or a hit, and one note of a
// write that failed; the run goes on.
func TestFolderVanishes(t *testing.T) {
	dir := t.TempDir() + "/gone"
	fill(t, dir, 0, 5)
	s := open(t, dir)
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	found(t, s, 5)
	for range 2 {
		if err := s.Put(key(9), value(9)); err != nil || len(s.Notes()) != 1 || s.Counters().Written != 0 {
			t.Errorf("%v; notes %v, %+v", err, s.Notes(), s.Counters())
		}
	}
}
