package main

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func TestFailedRunLeavesLastResultsAlone(t *testing.T) {
	dir := t.TempDir()
	if s := call(t, t.Context(), "screen", write(t, "a.csv", header+good), "--out", dir); s.code != exitDone {
		t.Fatal(s.err)
	}
	before := files(t, dir)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	for name, run := range map[string]func() said{
		"cancelled":         func() said { return call(t, ended, "screen", demo, "--out", dir) },
		"missing inventory": func() said { return call(t, t.Context(), "screen", "nowhere.csv", "--out", dir) },
		"bad configuration": func() said { return call(t, t.Context(), "screen", demo, "--out", dir, "--set", "run.workers=-3") },
		"misspelt flag":     func() said { return call(t, t.Context(), "screen", demo, "--out", dir, "--topp", "3") },
	} {
		if s := run(); s.code == exitDone {
			t.Errorf("%s: exit code 0", name)
		}
		if d := cmp.Diff(before, files(t, dir)); d != "" {
			t.Errorf("%s: the folder changed: %s", name, d)
		}
	}
}

// piped puts a pipe in the place of the standard input.
func piped(t *testing.T) *os.File {
	t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	old := os.Stdin
	os.Stdin = r
	t.Cleanup(func() {
		os.Stdin = old
		w.Close()
		r.Close()
	})
	return w
}

// A run that is stopped in its midst, thousands of buildings judged and more to
// come, leaves the results of the last one.
func TestRunStoppedHalfWayLeavesLastResultsAlone(t *testing.T) {
	dir := t.TempDir()
	if s := call(t, t.Context(), "screen", write(t, "a.csv", header+good), "--out", dir); s.code != exitDone {
		t.Fatal(s.err)
	}
	before := files(t, dir)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	w := piped(t)
	go func() {
		fmt.Fprint(w, header)
		for i := 0; ; i++ {
			// Ends with an error when the test closes the pipe.
			if _, err := fmt.Fprintf(w, "H%d,%d,brick_common,4c,moderate,none\n", i, 200+i%900); err != nil {
				return
			}
			if i == 5000 {
				cancel()
			}
		}
	}()
	s := call(t, ctx, "screen", "-", "--out", dir, "--set", "input.batch_rows=16")
	if s.code != exitFailed || !strings.Contains(s.err, "no result file was changed") {
		t.Errorf("exit code %d: %s", s.code, s.err)
	}
	if d := cmp.Diff(before, files(t, dir)); d != "" {
		t.Errorf("the folder changed: %s", d)
	}
}

// Ctrl-C must end a run whose standard input is silent.
func TestRunWaitingForInputCanBeStopped(t *testing.T) {
	stopsWhileWaiting(t, "screen", "-", "--out", t.TempDir())
}

// stopsWhileWaiting stops a command whose standard input went silent.
func stopsWhileWaiting(t *testing.T, args ...string) {
	t.Helper()
	w := piped(t)
	fmt.Fprint(w, header+good)
	ctx, cancel := context.WithCancel(t.Context())
	over := make(chan said, 1)
	go func() { over <- call(t, ctx, args...) }()
	time.AfterFunc(200*time.Millisecond, cancel)
	select {
	case s := <-over:
		if s.code != exitFailed {
			t.Errorf("exit code %d: %s", s.code, s.err)
		}
	case <-time.After(10 * time.Second): // a hang, not a measure of speed
		w.Close()
		<-over
		t.Fatal("the command goes on waiting for input after it was stopped")
	}
}
