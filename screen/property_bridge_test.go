package screen

import (
	"fmt"

	"wallsift/ingest"
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

// LookOnce makes every judgement from all of its draws until restore is called.
func LookOnce() (restore func()) {
	old := looks
	for i := range looks {
		looks[i] = old[len(old)-1]
	}
	return func() { looks = old }
}
