package store_test

import (
	"bufio"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"wallsift/screen/store"
)

// Two runs at once, with entries in common and merges between them.
func TestTwoProcesses(t *testing.T) {
	dir := t.TempDir()
	for round := range 6 {
		a, outA := process(t, "write", dir, 100*round, 100*round+150)
		b, outB := process(t, "write", dir, 100*round+50, 100*round+200)
		for _, c := range []interface{ Start() error }{a, b} {
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
		}
		go io.Copy(io.Discard, outB)
		io.Copy(io.Discard, outA)
		if err := a.Wait(); err != nil {
			t.Error(err)
		}
		if err := b.Wait(); err != nil {
			t.Error(err)
		}
		s := open(t, dir)
		if n, c := found(t, s, 100*round+200), s.Counters(); n != 100*round+200 || c.Damaged != 0 {
			t.Fatalf("round %d: %d entries, %+v", round, n, c)
		}
		closed(t, s)
	}
}

// A process is killed while it writes, again and again, the last times while
// the store merges what the others left. All it said was in must be there.
func TestKilled(t *testing.T) {
	dir := t.TempDir()
	next := 0
	for round := range 3*store.MergeFrom + 1 {
		cmd, out := process(t, "write", dir, next, 1<<30)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		for range 20 + 13*round {
			if !lines.Scan() {
				t.Fatal("the other process ended by itself")
			}
		}
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for lines.Scan() {
			if i, err := strconv.Atoi(lines.Text()); err == nil {
				next = i + 1
			}
		}
		cmd.Wait()
		s := open(t, dir)
		if n, c := found(t, s, next), s.Counters(); n != next || c.Damaged != 0 {
			t.Fatalf("round %d: %d of %d entries, %+v", round, n, next, c)
		}
		closed(t, s)
		if n := len(glob(t, dir, "*.keys")); n >= store.MergeFrom {
			t.Fatalf("round %d: %d segments, the killed ones are not merged", round, n)
		}
	}
}

// A process is killed while it merges, at whatever moment that hits.
func TestKilledMerging(t *testing.T) {
	for round := range 12 {
		dir := t.TempDir()
		s := open(t, dir) // holds its segment, so that none of the fills merges all
		if err := s.Put(key(0), value(0)); err != nil {
			t.Fatal(err)
		}
		for i := range store.MergeFrom - 1 {
			fill(t, dir, 60*i, 60*i+60)
		}
		const entries = 60 * (store.MergeFrom - 1)
		cmd, out := process(t, "write", dir, entries, entries+1)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		bufio.NewReader(out).ReadString('\n') // now it closes, and merges
		for range round * round * 100 {
			os.Getpid() // a short while, longer each round
		}
		cmd.Process.Kill()
		cmd.Wait()
		closed(t, s)
		s = open(t, dir)
		if n := found(t, s, entries+1); n != entries+1 {
			t.Errorf("round %d: %d of %d entries", round, n, entries+1)
		}
		closed(t, s)
		fill(t, dir, 2000, 2001)
		if n := found(t, open(t, dir), entries+1); n != entries+1 {
			t.Errorf("round %d: %d of %d entries after the next merge", round, n, entries+1)
		}
		if k, v := len(glob(t, dir, "*.keys")), len(glob(t, dir, "*.values")); k != v {
			t.Errorf("round %d: %d files of keys, %d of values", round, k, v)
		}
	}
}

// A folder without leave to write is read, and says so once. The other process
// is an ordinary user: leave does not bind root.
func TestReadOnlyFolder(t *testing.T) {
	base, err := os.MkdirTemp("", "store-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(base) })
	dir := filepath.Join(base, "kept")
	fill(t, dir, 0, 30)
	before := glob(t, dir, "*")
	cmd, out := process(t, "read", dir, 0, 30)
	if !ordinary(t, cmd, base) {
		t.Skip("no ordinary user on this system")
	}
	for path, mode := range map[string]os.FileMode{base: 0o755, dir: 0o555} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { os.Chmod(dir, 0o755) })
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	said, _ := io.ReadAll(out)
	if err := cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	if got := strings.TrimSpace(string(said)); got != "30 hits, 1 notes, 0 written" {
		t.Errorf("it said %q", got)
	}
	if after := glob(t, dir, "*"); len(after) != len(before) {
		t.Errorf("files before %v, after %v", before, after)
	}
}
