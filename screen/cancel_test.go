package screen_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"testing"
	"time"

	"wallsift/ingest"
	"wallsift/screen"
)

// endless is a CSV stream without end.
type endless struct {
	n    int
	rest []byte
}

func (r *endless) Read(p []byte) (int, error) {
	for len(r.rest) < len(p) {
		if r.n == 0 {
			r.rest = append(r.rest, header...)
		}
		r.rest = fmt.Appendf(r.rest, "H%d,%d,brick_common,4c,moderate,none\n", r.n, 200+r.n%800)
		r.n++
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

func TestCancelledRunStopsAndLeavesNoFile(t *testing.T) {
	l := load(t, map[string]any{"input.batch_rows": 64, "run.workers": 3})
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	opt := e.InputOptions()
	opt.Stdin = &endless{}
	src, err := ingest.Open([]string{"-"}, opt)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	over := make(chan error, 1)
	go func() {
		_, err := e.Run(ctx, src, screen.Options{Dir: dir, Rejected: func(ingest.Reject) error { return nil }, Progress: func(p screen.Progress) {
			if p.Done > 500 {
				cancel()
			}
		}})
		over <- err
	}()
	select {
	case err := <-over:
		if !errors.Is(err, context.Canceled) {
			t.Errorf("error: %v", err)
		}
	case <-time.After(30 * time.Second): // a hang, not a measure of speed
		t.Fatal("the run goes on after its context ended")
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestFailingSinkStopsTheRun(t *testing.T) {
	e := defaults()
	src, err := ingest.Open([]string{demoCSV}, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	full := errors.New("no space left on device")
	dir := t.TempDir()
	_, err = e.Run(t.Context(), src, screen.Options{Dir: dir, Rejected: func(ingest.Reject) error { return full }})
	if !errors.Is(err, full) {
		t.Errorf("error: %v", err)
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
