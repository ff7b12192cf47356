package store_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"wallsift/screen/store"
)

const method = "hourly 1"

func key(i int) [32]byte { return sha256.Sum256(binary.LittleEndian.AppendUint64(nil, uint64(i))) }

// value is a function of the key, so that any process can check any record.
func value(i int) []byte {
	k := key(i)
	return bytes.Repeat(k[:], 40-i%7)
}

func open(t testing.TB, dir string) *store.Store {
	t.Helper()
	s, err := store.Open(dir, method)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func put(t testing.TB, s *store.Store, from, to int) {
	t.Helper()
	for i := from; i < to; i++ {
		s.Put(key(i), value(i))
	}
}

// found counts which of the first n records can be read, and fails where one has
// another value than its own.
func found(t testing.TB, s *store.Store, n int) (hits int) {
	t.Helper()
	for i := range n {
		v, ok := s.Get(key(i))
		if ok && !bytes.Equal(v, value(i)) {
			t.Fatalf("record %d has a wrong value", i)
		}
		if ok {
			hits++
		}
	}
	return hits
}

func records(t testing.TB, dir string) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(dir, "??", "*"))
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestKeeps(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "folder")
	s := open(t, dir)
	if n := found(t, s, 10); n != 0 {
		t.Fatalf("%d records in an empty store", n)
	}
	put(t, s, 0, 100)
	s.Put(key(1000), nil)
	s.Close()
	s = open(t, dir)
	if n := found(t, s, 100); n != 100 {
		t.Errorf("%d of 100 records after opening again", n)
	}
	if v, ok := s.Get(key(1000)); !ok || len(v) != 0 {
		t.Errorf("an empty value came back as %v, %v", v, ok)
	}
	s.Get(key(7777))
	if got, want := s.Counters(), (store.Counters{Hits: 101, Misses: 1}); got != want || s.Notes() != nil {
		t.Errorf("counters %+v, want %+v; notes %q", got, want, s.Notes())
	}
	s.Close()
	put(t, s, 200, 201)
	if n := len(records(t, dir)); n != 101 {
		t.Errorf("%d files, want one a record and none put after Close: 101", n)
	}
	if _, err := store.Open(dir, ""); err == nil {
		t.Error("a store without a method was opened")
	}
	file := records(t, dir)[0]
	for _, dir := range []string{file, filepath.Join(file, "below")} {
		if _, err := store.Open(dir, method); err == nil {
			t.Error("a file was opened as a folder")
		}
	}
}

func TestMethodsDoNotMeet(t *testing.T) {
	dir := t.TempDir()
	put(t, open(t, dir), 0, 5)
	other, err := store.Open(dir, "hourly 2")
	if err != nil {
		t.Fatal(err)
	}
	if n := found(t, other, 5); n != 0 {
		t.Errorf("%d records of another method", n)
	}
	other.Put(key(1), []byte("two"))
	if n := found(t, open(t, dir), 5); n != 5 {
		t.Errorf("%d of 5 records left after another method wrote", n)
	}
}

// Whatever byte is flipped or cut off, the record is a miss, is removed and
// counted, and can be put again; a record in the place of another is none either.
func TestDamage(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	put(t, s, 0, 1)
	file := records(t, dir)[0]
	sound, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var damaged [][]byte
	for at := range sound {
		damaged = append(damaged, sound[:at], append([]byte(nil), sound...))
		damaged[len(damaged)-1][at] ^= byte(1 + at%255)
	}
	damaged = append(damaged, append(append([]byte(nil), sound...), 0))
	for i, b := range damaged {
		if err := os.WriteFile(file, b, 0o644); err != nil {
			t.Fatal(err)
		}
		if _, ok := s.Get(key(0)); ok {
			t.Fatalf("damage %d is not seen", i)
		}
		if _, err := os.Stat(file); err == nil {
			t.Fatalf("damage %d stays", i)
		}
	}
	if n := s.Counters().Damaged; n != int64(len(damaged)) || len(s.Notes()) != 1 || !strings.Contains(s.Notes()[0], "damaged") {
		t.Errorf("%d of %d counted, notes %q", n, len(damaged), s.Notes())
	}
	put(t, s, 0, 2)
	if n := found(t, s, 2); n != 2 {
		t.Errorf("%d of 2 records after they were put again", n)
	}
	for _, other := range records(t, dir) {
		if other != file {
			if err := os.Rename(other, file); err != nil {
				t.Fatal(err)
			}
		}
	}
	if n := found(t, s, 2); n != 0 {
		t.Errorf("%d records, though the one that is left is in the place of the other", n)
	}
}

// What cannot be read is said to be that: it is not damaged, and stays.
func TestUnreadable(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	put(t, s, 0, 1)
	file := records(t, dir)[0]
	if os.Geteuid() == 0 { // whom modes do not bind
		os.Remove(file)
		if err := os.Mkdir(file, 0o755); err != nil {
			t.Fatal(err)
		}
	} else if err := os.Chmod(file, 0); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		found(t, s, 1)
	}
	c, notes := s.Counters(), s.Notes()
	if c.Misses != 2 || c.Damaged != 0 || len(notes) != 1 || !strings.Contains(notes[0], "cannot be read: 2") {
		t.Errorf("%+v, notes %q", c, notes)
	}
	if _, err := os.Stat(file); err != nil {
		t.Error("it was removed")
	}
}

// The first write that fails is told once; the store goes on without.
func TestWritingFails(t *testing.T) {
	elsewhere, dir := t.TempDir(), t.TempDir()
	put(t, open(t, elsewhere), 1, 2)
	folder, err := filepath.Rel(elsewhere, filepath.Dir(records(t, elsewhere)[0]))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, folder), nil, 0o644); err != nil { // where record 1 belongs
		t.Fatal(err)
	}
	s := open(t, dir)
	put(t, s, 0, 20)
	if notes := s.Notes(); len(notes) != 1 || !strings.Contains(notes[0], "writing failed") {
		t.Errorf("notes %q", notes)
	}
	if _, ok := s.Get(key(0)); !ok || s.Counters().Written != 1 {
		t.Errorf("records are not read any more, or were written: %+v", s.Counters())
	}
}

func TestConcurrentUse(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	put(t, s, 0, 50)
	var g sync.WaitGroup
	for w := range 8 {
		g.Go(func() {
			for i := range 100 {
				i = (i*7 + w*50) % 100
				if v, ok := s.Get(key(i)); ok && !bytes.Equal(v, value(i)) || !ok && i < 50 {
					t.Errorf("record %d is lost or wrong", i)
				}
				s.Put(key(i), value(i))
				s.Counters()
				s.Notes()
			}
		})
	}
	g.Wait()
	if n := found(t, open(t, dir), 100); n != 100 || len(records(t, dir)) != 100 {
		t.Errorf("%d of 100 records, files %d", n, len(records(t, dir)))
	}
}

// What is used stays, what is not goes after its days, and nothing else goes. A
// time that lies ahead keeps no record for ever.
func TestTidy(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	const days = 10 * 24 * time.Hour
	aged := func(path string, age time.Duration) {
		t.Helper()
		if err := os.Chtimes(path, time.Time{}, time.Now().Add(-age)); err != nil {
			t.Fatal(err)
		}
	}
	times := map[string]time.Duration{}
	for i, age := range []time.Duration{0, 9 * 24 * time.Hour, 12 * 24 * time.Hour, 12 * 24 * time.Hour, -400 * 24 * time.Hour} {
		before := records(t, dir)
		put(t, s, i, i+1)
		for _, f := range records(t, dir) {
			if len(before) == 0 || !strings.Contains(strings.Join(before, " "), f) {
				times[f] = age
				aged(f, age)
			}
		}
	}
	some := records(t, dir)[0]
	strangers := []string{filepath.Join(dir, "notes.txt"), filepath.Join(dir, "v1-0123456789ab-000000000001.keys"), filepath.Join(filepath.Dir(some), "notes.record"), some + ".bak", filepath.Join(dir, "sub", "ab", filepath.Base(some))}
	killed, writing := some+".0123456789abcdef", some+".fedcba9876543210"
	for _, f := range append(strangers, killed, writing) {
		os.MkdirAll(filepath.Dir(f), 0o755)
		if err := os.WriteFile(f, nil, 0o644); err != nil {
			t.Fatal(err)
		}
		aged(f, 1000*24*time.Hour)
	}
	aged(writing, time.Minute)
	if _, ok := s.Get(key(2)); !ok { // used today
		t.Fatal("a record is lost")
	}
	if err := s.Tidy(0); err != nil || s.Counters().Dropped != 0 {
		t.Errorf("an age of 0 keeps for ever: %v, %+v", err, s.Counters())
	}
	if err := s.Tidy(days); err != nil || s.Counters().Dropped != 1 {
		t.Errorf("%v, %+v", err, s.Counters())
	}
	for i, want := range []bool{true, true, true, false, true} {
		if _, ok := s.Get(key(i)); ok != want {
			t.Errorf("record %d: %v", i, ok)
		}
	}
	for _, f := range append(strangers, writing) {
		if _, err := os.Stat(f); err != nil {
			t.Errorf("removed: %v", err)
		}
	}
	if _, err := os.Stat(killed); err == nil {
		t.Error("what a killed process left half-written stays")
	}
	for f, age := range times {
		if info, err := os.Stat(f); err == nil && (age < 0 || age > 11*24*time.Hour) && time.Since(info.ModTime()).Abs() > time.Hour {
			t.Errorf("the time of a record that was used, or lies ahead, is not put right: %v", info.ModTime())
		}
	}
}

// The folder vanishes under an open store: it is made again.
func TestFolderVanishes(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "gone")
	s := open(t, dir)
	put(t, s, 0, 5)
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	if n := found(t, s, 5); n != 0 {
		t.Errorf("%d records", n)
	}
	put(t, s, 0, 5)
	if n := found(t, s, 5); n != 5 || s.Notes() != nil {
		t.Errorf("%d records, notes %q", n, s.Notes())
	}
}

// A record of 20 KB, about that of one home.
func BenchmarkPutGet(b *testing.B) {
	s := open(b, b.TempDir())
	v := bytes.Repeat(value(3), 20)
	for i := 0; b.Loop(); i++ {
		s.Put(key(i), v)
		if _, ok := s.Get(key(i)); !ok {
			b.Fatal("lost")
		}
	}
}
