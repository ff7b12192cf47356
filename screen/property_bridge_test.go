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
	after, sized := *factsOf(b), 0.0
	var st *strategy
	for i := range e.strategies {
		if e.strategies[i].ID == id {
			st = &e.strategies[i]
			after, sized = e.repaired(st, &after, &Judgement{}), st.Thickness.Typical
		}
	}
	if st == nil && id != "" {
		return simulate.Outcome{}, nil, fmt.Errorf("no strategy %q", id)
	}
	h := w.newHome(b)
	at := e.worldOf(b, &after, st, point{})
	c := e.caseOf(h.z, &at, st, sized, h.z.front(at.facings)[0])
	if change != nil {
		change(c)
	}
	course := new(simulate.Course)
	o, _, err := h.runs.engine(&job{Case: c}, course)
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
		after := w.e.repaired(st, h.now, &Judgement{})
		for n := range draws {
			at := w.e.worldOf(b, &after, st, h.point(n))
			facing := h.z.front(at.facings)[0]
			q, err := h.askBy(quick, st, &at, facing, st.Thickness.Typical, n, false)
			if err != nil {
				return nil, err
			}
			f, err := h.askBy(fine, st, &at, facing, st.Thickness.Typical, n, false)
			if err != nil {
				return nil, err
			}
			out = append(out, Twice{q.result, f.result, near(&q.result)})
		}
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
