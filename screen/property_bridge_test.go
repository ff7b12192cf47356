package screen

import (
	"fmt"

	"wallsift/ingest"
	"wallsift/model/simulate"
)

// Single runs the typical case of a building under a strategy ("" for the wall as
// it is) as the transient tier lays it out, without memo or store. change, when
// not nil, alters the case before it runs: what no row can say, and the
// numerics. The daily course comes with the outcome.
func (w *Worker) Single(b *ingest.Building, id string, change func(*simulate.Case)) (simulate.Outcome, *simulate.Course, error) {
	e := w.e
	now := facts{cat: b.Cat, num: &b.Num}
	after, sized := now, 0.0
	var st *strategy
	for i := range e.strategies {
		if e.strategies[i].ID == id {
			var scratch Judgement
			st = &e.strategies[i]
			after, sized = e.repaired(st, &now, &scratch), st.Thickness.Typical
		}
	}
	if st == nil && id != "" {
		return simulate.Outcome{}, nil, fmt.Errorf("no strategy %q", id)
	}
	world := e.worldOf(b, &after, st, nil)
	z := e.zones[e.zoneIndex[b.Zone]]
	z.fill(e.cfg)
	c := e.caseOf(z, &world, st, sized)
	if change != nil {
		change(&c)
	}
	course := new(simulate.Course)
	o, err := w.sim.Run(&c, course)
	return o, course, err
}
