package screen

import (
	"fmt"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// Single runs the typical case of a building under a strategy ("" for the wall as
// it is) towards the facing that takes most driving rain. change, when not nil,
// alters the case before it runs: what no row can say, and the numerics. The daily
// course comes with the outcome.
func (w *Worker) Single(b *ingest.Building, id string, change func(*simulate.Case)) (simulate.Outcome, *simulate.Course, error) {
	e := w.e
	after, sized := b, 0.0
	st := &asIs
	for i := range e.strategies {
		if e.strategies[i].ID == id {
			st = &e.strategies[i]
			after, sized = e.repaired(st, b, &Judgement{}), st.Thickness.Typical
		}
	}
	if st == &asIs && id != "" {
		return simulate.Outcome{}, nil, fmt.Errorf("no strategy %q", id)
	}
	h := w.newHome(b)
	at := e.worldOf(after, st, point{})
	c := e.caseOf(&at, sized, h.z.front(at.facings)[0])
	if change != nil {
		change(c)
	}
	course := new(simulate.Course)
	o, _, err := h.engine(&job{Case: c}, course)
	return o, course, err
}

// Twice is a draw run quickly and finely.
type Twice struct {
	Quick, Fine indicator.Result
	Again       bool // a screening would have run it finely too
}

// QuickAndFine runs the first draws of a building both ways, under every strategy at
// its usual thickness, towards the facing that takes most driving rain.
func (w *Worker) QuickAndFine(b *ingest.Building, draws int) (out []Twice, err error) {
	h := w.newHome(b)
	if err := h.judgePast(); err != nil {
		return nil, err
	}
	for i := range w.e.strategies {
		st := &w.e.strategies[i]
		after := w.e.repaired(st, b, &Judgement{})
		for n := range draws {
			at := w.e.worldOf(after, st, h.point(n))
			facing := h.z.front(at.facings)[0]
			q, err := h.askBy(quick, &at, facing, st.Thickness.Typical, false)
			if err != nil {
				return nil, err
			}
			f, err := h.askBy(fine, &at, facing, st.Thickness.Typical, false)
			if err != nil {
				return nil, err
			}
			out = append(out, Twice{q.result, f.result, q.near()})
		}
	}
	return out, nil
}

// Facings returns for every strategy with several facings that can govern what the
// typical case is told to come to, and the worst of them run finely.
func (w *Worker) Facings(b *ingest.Building) (out [][2]float64, err error) {
	h := w.newHome(b)
	for i := range w.e.strategies {
		st := &w.e.strategies[i]
		after := w.e.repaired(st, b, &Judgement{})
		at := w.e.worldOf(after, st, point{})
		front := h.z.front(at.facings)
		if len(front) < 2 {
			continue
		}
		told, err := h.try(&at, st.Thickness.Typical, false)
		if err != nil {
			return nil, err
		}
		pair := [2]float64{told.utilisation(), 0}
		for _, f := range front {
			t, err := h.askBy(fine, &at, f, st.Thickness.Typical, false)
			if err != nil {
				return nil, err
			}
			pair[1] = max(pair[1], t.utilisation())
		}
		out = append(out, pair)
	}
	return out, nil
}

// LookOnce makes every judgement from all of its draws until restore is called.
func LookOnce() (restore func()) {
	old := looks
	for i := range looks {
		looks[i] = old[len(old)-1]
	}
	return func() { looks = old }
}
