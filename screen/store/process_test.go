package store_test

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"wallsift/screen/store"
)

// roleVariable tells the test binary to be another process on a store.
const roleVariable = "WALLSIFT_STORE_TEST_PROCESS"

func TestMain(m *testing.M) {
	if os.Getenv(roleVariable) == "" {
		os.Exit(m.Run())
	}
	if err := play(os.Args[1], os.Args[2], os.Args[3]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// play is the other process: it puts records and prints the number of each after
// it is in.
func play(dir, first, end string) error {
	s, err := store.Open(dir, method)
	if err != nil {
		return err
	}
	from, _ := strconv.Atoi(first)
	to, _ := strconv.Atoi(end)
	for i := from; i < to; i++ {
		if v, ok := s.Get(key(i)); ok && !bytes.Equal(v, value(i)) {
			return fmt.Errorf("record %d is wrong", i)
		}
		s.Put(key(i), value(i))
		fmt.Println(i)
	}
	s.Close()
	return nil
}

// process starts another process.
func process(t testing.TB, dir string, from, to int) (*exec.Cmd, io.Reader) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), self, dir, strconv.Itoa(from), strconv.Itoa(to))
	cmd.Env = append(os.Environ(), roleVariable+"=1")
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, out
}

// Two runs at once, with records in common.
func TestTwoProcesses(t *testing.T) {
	dir := t.TempDir()
	a, outA := process(t, dir, 0, 300)
	b, outB := process(t, dir, 100, 400)
	go io.Copy(io.Discard, outB)
	io.Copy(io.Discard, outA)
	for _, c := range []*exec.Cmd{a, b} {
		if err := c.Wait(); err != nil {
			t.Error(err)
		}
	}
	s := open(t, dir)
	if n := found(t, s, 400); n != 400 || len(records(t, dir)) != 400 || s.Notes() != nil {
		t.Errorf("%d records, %d files, notes %q", n, len(records(t, dir)), s.Notes())
	}
}

// A process is killed while it writes, again and again. All it said was in is
// there, nothing is damaged, and what it left half-written goes.
func TestKilled(t *testing.T) {
	dir := t.TempDir()
	next := 0
	for round := range 25 {
		cmd, out := process(t, dir, next, 1<<30)
		lines := bufio.NewScanner(out)
		for n := 0; lines.Scan(); n++ {
			i, err := strconv.Atoi(lines.Text())
			if err != nil {
				t.Fatal(err)
			}
			next = i + 1
			if n == 3+round { // what it says until it is dead is read as well
				cmd.Process.Kill()
			}
		}
		cmd.Wait()
	}
	s := open(t, dir)
	if n := found(t, s, next); n != next || s.Notes() != nil {
		t.Fatalf("%d of %d records, notes %q", n, next, s.Notes())
	}
	for _, f := range records(t, dir) {
		if err := os.Chtimes(f, time.Time{}, time.Now().Add(-2*time.Hour)); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Tidy(24 * time.Hour); err != nil {
		t.Fatal(err)
	}
	if n := len(records(t, dir)); n != next && n != next+1 { // the last may be in and not said
		t.Errorf("%d files of %d records", n, next)
	}
	if n := found(t, s, next); n != next {
		t.Errorf("%d of %d records after Tidy", n, next)
	}
}
