package screen

import (
	"fmt"

	"golang.org/x/sync/errgroup"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/climate"
	"wallsift/model/indicator"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
	"wallsift/model/steady"
	"wallsift/model/wall"
)

// Working is everything behind one judgement, in the typical scenario unless
// said otherwise.
type Working struct {
	Strategy    config.Strategy
	Judgement   Judgement
	Station     *climate.Station
	DegreeHours float64 // K·h/a
	Before      wall.Wall
	After       wall.Wall
	Months      [12]steady.Month
	Year        steady.Condensation
	Heat        indicator.Heat
	Rain        indicator.Rain
	Face        wall.Face
	FrostCycles float64                     // wet cycles a year
	Results     [scenarios]indicator.Result // favourable, typical, adverse
	Limits      indicator.Limits
	TimberDepth float64
	Hourly      *HourlyWorking // nil in the steady tier
}

// Explain repeats the working for one building under one strategy, or under its
// best when the id is empty. It fails on an unknown strategy.
func (e *Engine) Explain(b *ingest.Building, id string) (*Working, []Judgement, error) {
	w := e.NewWorker()
	all := w.Judge(b, nil)
	if err := e.sampleEach(b, all); err != nil {
		return nil, nil, err
	}
	pick := 0
	if id != "" {
		pick = -1
		var known []string
		for i := range all {
			name := e.strategies[all[i].Strategy].ID
			known = append(known, name)
			if name == id {
				pick = i
			}
		}
		if pick < 0 {
			hint := ""
			if near := ingest.Suggest(id, known); near != "" {
				hint = fmt.Sprintf("; did you mean %q?", near)
			}
			return nil, nil, fmt.Errorf("no strategy %q%s", id, hint)
		}
	}
	j := all[pick]
	st, z := &e.strategies[j.Strategy], e.zones[e.zoneIndex[b.Zone]]
	out := &Working{Strategy: st.Strategy, Judgement: j, Station: z.station, DegreeHours: z.degreeHours, Limits: e.limits}

	now := facts{cat: b.Cat, num: &b.Num}
	var scratch Judgement
	after := e.repaired(st, &now, &scratch)
	bare := w.key(b, &now, bareWall)
	key := w.key(b, &after, j.Strategy)
	e.scenarioWall(&out.Before, &bare, typical)
	for s := range scenarios {
		heat := w.compute(z, &key, s)
		out.Results[s] = w.rain(z, &key, &after, s, &heat, st)
		if s == typical {
			out.Heat, out.Year, out.After = heat, w.ws.Year, w.wall
		}
	}
	out.Months = z.months[e.indoor(key.humidity, typical)]
	out.Rain = e.wallRain(z, &after, typical)
	out.Face = e.face(&key, b.Num[ingest.WaterAbsorption], typical)
	out.FrostCycles = z.frostCycles(out.Heat.Warming)
	out.TimberDepth = e.depthAt(key.depth, typical)
	if j.Tier == indicator.Transient {
		var err error
		if out.Hourly, err = w.explainHourly(b, st, &now, &after, out); err != nil {
			return nil, nil, err
		}
	}
	return out, all, nil
}

// sampleEach gives every judgement of the transient tier its chance and verdict
// from the engine itself, as far as the configuration wants chances, and ranks
// them anew.
func (e *Engine) sampleEach(b *ingest.Building, list []Judgement) error {
	if e.cfg.Chance.Samples == 0 {
		return nil
	}
	draws := sampling.Replicated(ExplainSamples/replicates, replicates, e.dims, uint64(e.cfg.Run.Seed))
	now := facts{cat: b.Cat, num: &b.Num}
	var g errgroup.Group
	g.SetLimit(e.workers())
	for i := range list {
		j := &list[i]
		if j.Tier != indicator.Transient || j.Failed {
			continue
		}
		g.Go(func() error {
			if err := e.NewWorker().runSamples(b, &now, j, draws); err != nil {
				return err
			}
			e.decide(j)
			return nil
		})
	}
	err := g.Wait()
	byRank(list)
	return err
}

// HourlyWorking is what the transient tier has to show for a judgement.
type HourlyWorking struct {
	Weather string // which year
	Outcome simulate.Outcome
	Before  simulate.Outcome // of the wall as it is
	Course  simulate.Course
	Place   int // place of the timber in the course
	Azimuth float64
}

// ExplainSamples is how many engine runs, with what is not known drawn anew, Explain
// takes a chance from: fewer than screen reads off its surfaces, but without any
// surface between.
const ExplainSamples = 32

func (w *Worker) explainHourly(b *ingest.Building, st *strategy, now, after *facts, out *Working) (*HourlyWorking, error) {
	e := w.e
	z := e.zones[e.zoneIndex[b.Zone]]
	h := &HourlyWorking{Weather: z.hourly(e.cfg).Label, Place: simulate.PlaceTimber}
	world := e.worldOf(b, after, st, nil)
	h.Azimuth = world.azimuth
	for k, on := range world.classes {
		if on {
			h.Place = simulate.PlaceTimber + k
			break
		}
	}
	c := e.caseOf(z, &world, st, st.Thickness.Typical)
	var err error
	if h.Outcome, err = w.sim.Run(&c, &h.Course); err != nil {
		return nil, err
	}
	bare := e.worldOf(b, now, nil, nil)
	asIs := e.caseOf(z, &bare, nil, 0)
	if h.Before, err = w.sim.Run(&asIs, nil); err != nil {
		return nil, err
	}
	q := e.question(st, &world, nil)
	if len(st.Inside)+len(st.Outside) > 0 {
		q.Before = &h.Before.Frost
	}
	r := h.Outcome.Judge(q)
	out.Results = [scenarios]indicator.Result{r, r, r}
	j := &out.Judgement
	if !j.Failed {
		j.Allowance, err = e.allowanceOf(j, st.Thickness.Steps(), func(step int) (trial, error) { return w.runAt(b, now, st, &world, st.Thickness.At(step)) })
		if err != nil {
			return nil, err
		}
	}
	return h, w.drier(b, now, st, &world, j)
}
