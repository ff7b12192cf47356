package ingest

import "context"

// NextOrDone is Next that is given up when ctx ends even if the read hangs, as
// one from a silent standard input does. After that s is left alone.
func (s *Source) NextOrDone(ctx context.Context) (*Batch, error) {
	type answer struct {
		b   *Batch
		err error
	}
	got := make(chan answer, 1)
	go func() {
		b, err := s.Next(ctx)
		got <- answer{b, err}
	}()
	select {
	case a := <-got:
		return a.b, a.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}
