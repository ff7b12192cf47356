package store_test

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"wallsift/screen/store"
)

const method = "hourly 1"

// valueBytes is about what a case takes.
const valueBytes = 1200

func key(i int) [32]byte { return sha256.Sum256(binary.LittleEndian.AppendUint64(nil, uint64(i))) }

// value is a function of the key, so that any process can check any entry.
func value(i int) []byte {
	k := key(i)
	return bytes.Repeat(k[:], valueBytes/len(k)+1)[:valueBytes-i%7]
}

func open(t testing.TB, dir string) *store.Store {
	t.Helper()
	return openFor(t, dir, store.KeepDays)
}

func openFor(t testing.TB, dir string, days int) *store.Store {
	t.Helper()
	s, err := store.Open(dir, method, days)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func closed(t testing.TB, s *store.Store) {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

// fill puts entries from to to-1 as one run would.
func fill(t testing.TB, dir string, from, to int) {
	t.Helper()
	s := open(t, dir)
	for i := from; i < to; i++ {
		if err := s.Put(key(i), value(i)); err != nil {
			t.Fatal(err)
		}
	}
	closed(t, s)
}

// found counts which of the first n entries can be read, and fails where one
// has another value than its own.
func found(t testing.TB, s *store.Store, n int) int {
	t.Helper()
	hits := 0
	for i := range n {
		v, ok := s.Get(key(i))
		if ok && !bytes.Equal(v, value(i)) {
			t.Fatalf("entry %d has a wrong value", i)
		}
		if ok {
			hits++
		}
	}
	return hits
}

func glob(t testing.TB, dir, pattern string) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(dir, pattern))
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// roleVariable tells the test binary to be another process on a store.
const (
	roleVariable = "WALLSIFT_STORE_TEST_ROLE"
	dayVariable  = "WALLSIFT_STORE_TEST_DAY" // what it takes for today
)

func TestMain(m *testing.M) {
	if role := os.Getenv(roleVariable); role != "" {
		if err := play(role, os.Args[1:]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// play is the other process. Role write puts entries from, from+1 … and prints
// the number of each after it is in; it ends at the number to. Role read reads
// that many, tries to put one more, and prints the hits and the notes. Role use
// reads as role write puts.
func play(role string, args []string) error {
	day, _ := strconv.Atoi(os.Getenv(dayVariable))
	store.SetDay(day)
	s, err := store.Open(args[0], method, store.KeepDays)
	if err != nil {
		return err
	}
	from, _ := strconv.Atoi(args[1])
	to, _ := strconv.Atoi(args[2])
	switch role {
	case "write":
		for i := from; i < to; i++ {
			if err := s.Put(key(i), value(i)); err != nil {
				return err
			}
			fmt.Println(i)
		}
	case "use":
		for i := from; i < to; i++ {
			if v, ok := s.Get(key(i)); !ok || !bytes.Equal(v, value(i)) {
				return fmt.Errorf("entry %d is lost or wrong", i)
			}
			fmt.Println(i)
		}
	case "read":
		for i := from; i < to; i++ {
			if v, ok := s.Get(key(i)); ok && !bytes.Equal(v, value(i)) {
				return fmt.Errorf("entry %d has a wrong value", i)
			}
		}
		if err := s.Put(key(to), value(to)); err != nil {
			return err
		}
		fmt.Printf("%d hits, %d notes, %d written", s.Counters().Hits, len(s.Notes()), s.Counters().Written)
	}
	return s.Close()
}

// process makes the command of another process; it is not started yet.
func process(t testing.TB, role, dir string, from, to int) (*exec.Cmd, io.Reader) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), self, dir, strconv.Itoa(from), strconv.Itoa(to))
	cmd.Env = append(os.Environ(), roleVariable+"="+role, dayVariable+"="+strconv.Itoa(store.Day()))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	return cmd, out
}

func discard(out io.Reader) { io.Copy(io.Discard, out) }

// upTo reads the lines of another process until one that it waits for.
func upTo(out io.Reader, line string) {
	lines := bufio.NewScanner(out)
	for lines.Scan() && lines.Text() != line {
	}
}
