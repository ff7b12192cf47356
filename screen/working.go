package screen

import (
	"fmt"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/climate"
	"wallsift/model/indicator"
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
}

// Explain repeats the working for one building under one strategy, or under its
// best when the id is empty. It fails on an unknown strategy.
func (e *Engine) Explain(b *ingest.Building, id string) (*Working, []Judgement, error) {
	w := e.NewWorker()
	all := w.Judge(b, nil)
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
	return out, all, nil
}
