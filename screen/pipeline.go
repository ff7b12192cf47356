package screen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"golang.org/x/sync/errgroup"

	"wallsift/config"
	"wallsift/ingest"
)

// Options say how a run is carried out.
type Options struct {
	Dir         string // for temporary files; the caller removes it
	Rejected    func(ingest.Reject) error
	Progress    func(Progress) // called now and then, from one goroutine at a time; may be nil
	Provisional func(*Run)     // called with the steady tier's sums before the engine runs; may be nil
}

// Progress says how far a run has come.
type Progress struct {
	Stage string
	Done  int
	Total int // 0 where it is not known
}

// Stages of a run.
const (
	StageReading = "stage 1 of 2: rows read, monthly balances"
	StageEngine  = "stage 2 of 2: homes run hour by hour"
)

// ordered does work on all that next gives until io.EOF, with n workers at once, and
// hands the results to sink in the order of next. At most ahead items are under way,
// so that memory stays bounded. When ctx ends, or anything fails, all stop and the
// error is returned; a panic of a worker is a Crash.
func ordered[T, R any](ctx context.Context, n, ahead int, next func(context.Context) (T, error), worker func() func(T) (R, error), sink func(R) error) error {
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(n + 1) // and sink
	idle := make(chan func(T) (R, error), n)
	inOrder := make(chan chan R, ahead-2) // and one each with next and sink
	for range n {
		idle <- worker()
	}
	g.Go(func() error {
		for result := range inOrder {
			select {
			case r := <-result:
				if err := sink(r); err != nil {
					return err
				}
			case <-ctx.Done():
				return ctx.Err()
			}
		}
		return ctx.Err()
	})
	for {
		item, err := next(ctx)
		result := make(chan R, 1)
		if err == nil {
			select {
			case inOrder <- result:
			case <-ctx.Done():
				err = ctx.Err()
			}
		}
		if err != nil {
			close(inOrder)
			if !errors.Is(err, io.EOF) {
				g.Go(func() error { return err })
			}
			return g.Wait()
		}
		g.Go(func() (err error) {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			work := <-idle
			defer func() {
				if cause := recover(); cause != nil {
					err = &Crash{cause, debug.Stack()}
				}
				idle <- work
			}()
			r, err := work(item)
			if err == nil {
				result <- r
			}
			return err
		})
	}
}

// Crash is a defect of this program that was met while it worked.
type Crash struct {
	Cause any
	Stack []byte
}

// Error returns what happened and where.
func (c *Crash) Error() string {
	return fmt.Sprintf("a defect of this program: %v\n%s", c.Cause, c.Stack)
}

// Run screens every building of the source: first all by the steady tier, then
// each that asks for it by the engine. Results do not depend on the number of
// workers.
func (e *Engine) Run(ctx context.Context, src *ingest.Source, opt Options) (*Run, error) {
	if opt.Progress == nil {
		opt.Progress = func(Progress) {}
	}
	run, err := newRun(ctx, e, src, opt.Dir)
	if err != nil {
		return nil, err
	}
	if err = run.read(ctx, opt); err == nil && e.cfg.Run.Tier != config.TierSteady {
		if opt.Provisional != nil {
			opt.Provisional(run)
		}
		err = run.hourly(ctx, opt)
	}
	if err == nil {
		run.intake = nil // what only reading needs makes room
		run.Ranks.settle(e.workers())
		err = run.spill.w.Flush()
	}
	if err != nil {
		run.Close()
		return nil, err
	}
	return run, nil
}

// batch is one batch of rows after the steady tier.
type batch struct {
	buildings  []ingest.Building
	judgements [][]Judgement // by building
	rejects    []ingest.Reject
}

// read takes the rows in and judges them by the steady tier.
func (r *Run) read(ctx context.Context, opt Options) error {
	e := r.engine
	err := ordered(ctx, e.workers(), 2*e.workers()+2, r.Source.Next, func() func(*ingest.Batch) (batch, error) {
		w := e.NewWorker()
		return func(in *ingest.Batch) (b batch, err error) {
			b.buildings, b.rejects = in.Decode()
			for i := range b.buildings {
				b.judgements = append(b.judgements, w.Steady(&b.buildings[i]))
			}
			return b, nil
		}
	}, func(b batch) error { return r.take(&b, opt) })
	if err != nil {
		return err
	}
	return r.gather(opt)
}

// take adds one batch.
func (r *Run) take(d *batch, opt Options) error {
	counts, rejects := r.intake.Take(d.buildings, d.rejects)
	r.Counts.Rejected, r.Counts.BrokenFiles = r.intake.Rejected, r.intake.BrokenFiles
	for i := range d.buildings {
		if !counts[i] {
			continue
		}
		row := &Row{Building: d.buildings[i], Answer: Answer{Judgements: d.judgements[i], Survey: Survey{Wrong: notDrawn}}}
		add := r.add
		if row.Building.Home != "" {
			add = r.held.add
		}
		if err := add(row); err != nil {
			return err
		}
	}
	for _, rej := range rejects {
		if err := opt.Rejected(rej); err != nil {
			return err
		}
	}
	opt.Progress(Progress{StageReading, r.intake.Rows + r.Counts.Rejected, 0})
	return nil
}

// hourly gives every row the engine's answer. Rows move to a new spill in their
// old order, and are counted anew.
func (r *Run) hourly(ctx context.Context, opt Options) error {
	e, old := r.engine, r.spill
	if err := old.w.Flush(); err != nil {
		return err
	}
	fresh, err := newSpill(opt.Dir)
	if err != nil {
		return err
	}
	defer old.close()
	r.spill = fresh
	r.resetSums()
	at, total := -1, len(old.ends)-1
	return ordered(ctx, e.workers(), aheadOfSlow*e.workers(), func(context.Context) (int, error) {
		if at++; at == total {
			return 0, io.EOF
		}
		return at, nil
	}, func() func(int) (*Row, error) {
		w := e.newWorker(max(1, e.workers()/max(1, total))) // fewer homes than cores share them
		return func(i int) (*Row, error) {
			row := &Row{}
			err := old.row(uint32(i), row)
			if err != nil {
				return nil, err
			}
			var home []ingest.Building
			for i := range row.Walls {
				home = append(home, row.Walls[i].Building)
			}
			if len(home) == 0 {
				home = append(home, row.Building)
			}
			*row, err = w.JudgeHome(home, row.Lost)
			return row, err
		}
	}, func(row *Row) error {
		if err := r.add(row); err != nil {
			return err
		}
		opt.Progress(Progress{StageEngine, r.Counts.Accepted, total})
		return nil
	})
}

// aheadOfSlow is how many homes a worker may be ahead of the slowest one, whose
// draws can take a hundred times those of another.
const aheadOfSlow = 64
