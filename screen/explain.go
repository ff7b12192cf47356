package screen

import (
	"fmt"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/climate"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
	"wallsift/model/steady"
	"wallsift/model/wall"
)

// Working is everything behind one judgement, in the typical case unless said
// otherwise.
type Working struct {
	Strategy    config.Strategy
	Judgement   Judgement
	Home        Row              // the answer of the table
	Picked      int              // which of its judgements is explained
	Building    *ingest.Building // the wall explained: of a home of several the one that governs
	Station     *climate.Station
	DegreeHours float64 // K·h/a
	Before      wall.Wall
	After       wall.Wall
	Year        steady.Condensation
	Monthly     indicator.Monthly
	// Results are those of the tier that judged: of the steady one at its corners,
	// of the engine three times the typical case.
	Results [numCorners]indicator.Result // favourable, typical, adverse
	Hourly  *HourlyWorking               // nil in the steady tier
}

// HourlyWorking is what the transient tier has to show for a judgement.
type HourlyWorking struct {
	Weather string // which year
	Outcome simulate.Outcome
	Before  simulate.Outcome // of the wall as it is
	Course  simulate.Course
	Place   int // place of the timber in the course
}

// Explain gives the answer for a building, or for a home by its walls, of which
// lost more were rejected: the very one that Run gives, with the working under one
// strategy, or under the best when the id is empty. It fails on an unknown strategy.
func (e *Engine) Explain(walls []ingest.Building, lost int, id string) (*Working, error) {
	a, err := e.Answer(walls, lost)
	if err != nil {
		return nil, err
	}
	pick := 0
	if id != "" {
		var known []string
		for i := range a.Judgements {
			known = append(known, e.Choices()[a.Judgements[i].Strategy].ID)
		}
		if pick = slices.Index(known, id); pick < 0 {
			return nil, fmt.Errorf("no strategy %q%s", id, ingest.DidYouMean(id, known))
		}
	}
	b, own := a.Governing(&a.Judgements[pick])
	j := *own
	st, z := &e.strategies[j.Strategy], e.zoneOf[b.Zone]
	out := &Working{Strategy: st.Strategy, Judgement: j, Home: a, Picked: pick, Building: b, Station: z.station, DegreeHours: z.degreeHours}
	after := e.repaired(st, b, &Judgement{})
	out.Before, _ = e.Stack(b, &j)
	w := e.newWorker(e.workers())
	out.Results, _, _ = w.corners(after, st, j.Thickness)
	out.Monthly, out.Year, out.After = w.ws.Monthly, w.ws.Year, w.wall
	if j.Tier == indicator.Transient {
		return out, w.explainHourly(after, st, out)
	}
	return out, nil
}

// Answer is the answer alone, without the working.
func (e *Engine) Answer(walls []ingest.Building, lost int) (a Row, err error) {
	w := e.newWorker(e.workers())
	if len(walls) != 1 || lost > 0 {
		return w.JudgeHome(walls, lost)
	}
	a.Building = walls[0]
	a.Answer, err = w.Judge(&walls[0])
	return a, err
}

// explainHourly repeats the typical case for its daily course.
func (w *Worker) explainHourly(after *ingest.Building, st *strategy, out *Working) error {
	h := w.newHome(out.Building)
	j, at := &out.Judgement, w.e.worldOf(after, st, point{})
	t, err := h.askBy(fine, &at, j.Facing, j.Thickness, j.HeldBack)
	if err != nil {
		return err
	}
	x := &HourlyWorking{Weather: h.z.mean.Label, Place: at.timberPlace()}
	c := h.job(fine, &at, j.Facing, j.Thickness)
	if c.Year != nil {
		x.Weather += ", then a " + c.Year.Label
	}
	if x.Outcome, _, err = h.engine(c, &x.Course); err != nil {
		return err
	}
	before, err := h.asItIs(fine, &at, j.Facing)
	if err != nil {
		return err
	}
	x.Before, out.Hourly = *before, x
	out.Results = [numCorners]indicator.Result{t.result, t.result, t.result}
	return nil
}
