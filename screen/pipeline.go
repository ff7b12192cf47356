package screen

import (
	"cmp"
	"context"
	"errors"
	"io"
	"slices"

	"golang.org/x/sync/errgroup"

	"wallsift/ingest"
)

// Options say how a run is carried out.
type Options struct {
	Rows     int    // of the inventory, 0 where they were not counted
	Dir      string // for temporary files; the caller removes it
	Rejected func(ingest.Reject) error
	Progress func(Progress) // called now and then, from one goroutine at a time; may be nil
}

// Progress says how far a run has come.
type Progress struct {
	Stage string
	Done  int
	Total int // 0 where it is not known
}

// Stages of a run.
const (
	StageJudging  = "buildings judged"
	StageLearning = "engine runs to learn from"
	StageSampling = "buildings sampled"
)

func (o *Options) report(p Progress) {
	if o.Progress != nil {
		o.Progress(p)
	}
}

// decided is one batch after judgement, on its way to the collector.
type decided struct {
	seq       int64
	buildings []ingest.Building
	list      []Judgement // as many as there are strategies for each building
	rows      []byte
	ends      []int
	rejects   []ingest.Reject
}

// Run screens every building of the source. Batches are read by one goroutine,
// judged by many and collected by one in the order of reading; a fixed number
// of batches is under way at any time. Results do not depend on the number of
// workers. When ctx ends, or anything fails, all stages stop and the error is
// returned.
func (e *Engine) Run(ctx context.Context, src *ingest.Source, opt Options) (*Run, error) {
	run, err := newRun(e, src, opt.Dir)
	if err != nil {
		return nil, err
	}
	workers := e.workers()
	g, gctx := errgroup.WithContext(ctx)
	tokens := make(chan struct{}, 2*workers+2)
	batches := make(chan *ingest.Batch)
	done := make(chan *decided)

	g.Go(func() error {
		defer close(batches)
		return read(gctx, src, tokens, batches)
	})
	judging, jctx := errgroup.WithContext(gctx)
	for range workers {
		judging.Go(func() error { return e.judgeBatches(jctx, batches, done) })
	}
	g.Go(func() error {
		defer close(done)
		return judging.Wait()
	})
	g.Go(func() error { return run.collect(gctx, done, tokens, opt) })
	if err := g.Wait(); err != nil {
		run.Close()
		return nil, err
	}
	if err := run.finish(ctx, opt); err != nil {
		run.Close()
		return nil, err
	}
	return run, nil
}

// read passes batches on, one token each; the collector gives tokens back.
func read(ctx context.Context, src *ingest.Source, tokens chan<- struct{}, out chan<- *ingest.Batch) error {
	for {
		select {
		case tokens <- struct{}{}:
		case <-ctx.Done():
			return ctx.Err()
		}
		b, err := src.NextOrDone(ctx)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		select {
		case out <- b:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

func (e *Engine) judgeBatches(ctx context.Context, in <-chan *ingest.Batch, out chan<- *decided) error {
	w := e.NewWorker()
	none := noSurvey()
	for b := range in {
		d := &decided{seq: b.Seq}
		d.buildings, d.rejects = b.Decode()
		n := len(e.strategies)
		d.list = make([]Judgement, 0, n*len(d.buildings))
		for i := range d.buildings {
			if err := ctx.Err(); err != nil {
				return err
			}
			d.list = w.Judge(&d.buildings[i], d.list)
			if err := w.Err(); err != nil {
				return err
			}
			d.rows = encodeRow(d.rows, &d.buildings[i], d.list[i*n:(i+1)*n], &none)
			d.ends = append(d.ends, len(d.rows))
		}
		select {
		case out <- d:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}

// collect takes batches back into the order of reading.
func (r *Run) collect(ctx context.Context, in <-chan *decided, tokens <-chan struct{}, opt Options) error {
	waiting := map[int64]*decided{}
	for next := int64(0); ; {
		select {
		case d, ok := <-in:
			if !ok {
				return ctx.Err()
			}
			waiting[d.seq] = d
		case <-ctx.Done():
			return ctx.Err()
		}
		for d := waiting[next]; d != nil; d = waiting[next] {
			delete(waiting, next)
			next++
			if err := r.take(d, opt); err != nil {
				return err
			}
			<-tokens
		}
	}
}

// take adds one batch: the first building of an id counts, later ones become
// rejects.
func (r *Run) take(d *decided, opt Options) error {
	e, from := r.engine, 0
	n := len(e.strategies)
	for i := range d.buildings {
		b, end := &d.buildings[i], d.ends[i]
		row := d.rows[from:end]
		from = end
		if rej, dup := r.seen.Check(b); dup {
			d.rejects = append(d.rejects, rej)
			continue
		}
		if err := r.spill.add(row); err != nil {
			return err
		}
		r.sets.add(e.zoneIndex[b.Zone], e.stoneIndex[b.Stone], d.list[i*n:(i+1)*n])
		if !r.sampled() {
			r.count(b, d.list[i*n:(i+1)*n])
		}
	}
	slices.SortStableFunc(d.rejects, func(a, b ingest.Reject) int { return cmp.Compare(a.Line, b.Line) })
	last := int64(-1)
	for _, rej := range d.rejects {
		switch {
		case rej.Whole:
			r.Counts.BrokenFiles++
		case rej.Line != last:
			r.Counts.Rejected++
		}
		last = rej.Line
		if err := opt.Rejected(rej); err != nil {
			return err
		}
	}
	r.taken += len(d.buildings)
	opt.report(Progress{StageJudging, r.taken + r.Counts.Rejected, opt.Rows})
	return nil
}
