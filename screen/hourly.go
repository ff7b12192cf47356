package screen

import (
	"wallsift/ingest"
	"wallsift/model/damage"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// wantsHourly says whether the transient tier is to judge what the steady one
// has: always where it is asked for, in tier auto where the steady tier leaves
// doubt. What a gate excludes is settled without it.
func (e *Engine) wantsHourly(j *Judgement) bool {
	switch {
	case e.cfg.Run.Tier == tierSteady || j.Excluded:
		return false
	case e.cfg.Run.Tier == tierTransient:
		return true
	}
	clear := j.Low > e.cfg.Engine.DoubtTo || j.High < e.cfg.Engine.DoubtFrom && j.Verdict != SurveyFirst
	return !clear
}

// judgeHourly replaces the steady answer of j by that of the transient tier for
// the typical world.
func (w *Worker) judgeHourly(b *ingest.Building, st *strategy, now, after *facts, j *Judgement) error {
	e := w.e
	j.Tier, j.Gates = indicator.Transient, 0
	hold, survey := e.gateEffects(st, now, j)
	world := e.worldOf(b, after, st, nil)
	out, before, err := w.outcomes(b, now, st, &world, st.Thickness.Typical, nil)
	if err != nil {
		return err
	}
	j.take(out, &world)
	j.Anchor = e.outputs(out, st, before)
	r := out.Judge(e.question(st, &world, before))
	j.settle(&[scenarios]indicator.Result{r, r, r})
	j.Failed, j.Gathering, j.Hold, j.Survey = out.Failed, out.Gathering, hold, survey
	j.Verdict = j.verdict(hold, survey || out.Failed)
	return nil
}

// outcomes runs the case of a world and, where something is added to the wall,
// that of the wall as it is under the same draw.
func (w *Worker) outcomes(b *ingest.Building, now *facts, st *strategy, world *world, sized float64, d draw) (out *simulate.Outcome, before *damage.FrostYear, err error) {
	e := w.e
	z := e.zones[e.zoneIndex[b.Zone]]
	c := e.caseOf(z, world, st, sized)
	if out, err = e.outcomes.run(w.sim, &c); err != nil || !st.which.Has(indicator.Frost) || len(st.Inside)+len(st.Outside) == 0 {
		return out, nil, err
	}
	bare := e.worldOf(b, now, nil, d)
	c = e.caseOf(z, &bare, nil, 0)
	asIs, err := e.outcomes.run(w.sim, &c)
	if err != nil {
		return nil, nil, err
	}
	return out, &asIs.Frost, nil
}

func (e *Engine) question(st *strategy, w *world, before *damage.FrostYear) *simulate.Question {
	return &simulate.Question{Which: st.which, Params: &e.params, Timber: w.timber, Classes: w.classes, Before: before}
}

// take copies the yearly course that pages draw: the cold face, and the timber
// at the first depth that is judged.
func (j *Judgement) take(o *simulate.Outcome, w *world) {
	place := simulate.PlaceTimber
	for k, on := range w.classes {
		if on {
			place = simulate.PlaceTimber + k
			break
		}
	}
	j.Course = [2][simulate.Weeks]uint8{o.Course[simulate.PlaceCold], o.Course[place]}
	j.RainOnWall = o.Rain
}
