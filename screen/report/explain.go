package report

import (
	"fmt"
	"strconv"
	"strings"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/wall"
	"wallsift/screen"
)

// Explain makes the tables of one building's working under a strategy, or under
// its best one when strategy is empty.
func Explain(e *screen.Engine, b *ingest.Building, strategy string) ([]Table, error) {
	w, all, err := e.Explain(b, strategy)
	if err != nil {
		return nil, err
	}
	return []Table{
		factsTable(b, w), choices(e, b, all), layers(w, "before", &w.Before, "The wall as it is"),
		layers(w, "after", &w.After, "The wall with: "+w.Strategy.Label), yearTable(w), indicators(w), works(e, w),
	}, nil
}

func factsTable(b *ingest.Building, w *screen.Working) Table {
	t := Table{Name: "facts", Title: "Building " + b.ID, Columns: []string{"fact", "value"}}
	add := func(name, value string) { t.Rows = append(t.Rows, []string{name, value}) }
	add("stone_type", b.Stone)
	add("climate_zone", fmt.Sprintf("%s, station %s (%s)", b.Zone, w.Station.Label, w.Station.Source))
	for n := range ingest.NumNumbers {
		if x := b.Num[n]; x == x {
			add(n.Name(), strconv.FormatFloat(x, 'g', 5, 64)+" "+siUnit(n.Name()))
		}
	}
	for c := range ingest.NumCategories {
		add(c.Name(), c.Levels()[b.Cat[c]])
	}
	if missing := Missing(b); len(missing) > 0 {
		t.Note = "Not known, and so spread over a range: " + strings.Join(missing, ", ") + "."
	}
	return t
}

func siUnit(field string) string {
	for _, c := range ingest.Columns() {
		if c.Name == field {
			return c.SI
		}
	}
	return ""
}

func choices(e *screen.Engine, b *ingest.Building, all []screen.Judgement) Table {
	t := Table{
		Name: "choices", Title: "Strategies in order of rank",
		Columns: []string{"rank", "strategy", "verdict", "utilisation", "saves kWh/m2a", "U after", "governed by", "why not sooner"},
		Note:    screen.RankingRule,
	}
	strategies := e.Strategies()
	for i := range all {
		j := &all[i]
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), strategies[j.Strategy].ID, j.Verdict.String(), spread(j), fixed(j.Saved, 0), fixed(j.UAfter, 2), governed(j), reasons(e, b, j)})
	}
	return t
}

func layers(w *screen.Working, name string, x *wall.Wall, heading string) Table {
	u := x.U(w.Limits.Rsi, w.Limits.Rse)
	t := Table{
		Name: name, Title: heading + ", outside to inside",
		Columns: []string{"layer", "mm", "lambda W/mK", "R m2K/W", "s_d m", "source"},
		Note: fmt.Sprintf("R of the layers %s m2K/W (R-value %s); U = %s W/m2K with Rse %s and Rsi %s (ISO 6946).",
			fixed(x.Resistance(), 2), fixed(x.Resistance()*5.678263, 1), fixed(u, 3), fixed(w.Limits.Rse, 2), fixed(w.Limits.Rsi, 2)),
	}
	for i := range x.Layers[:x.N] {
		l := &x.Layers[i]
		label, sd := l.Material.Label, known(l.Sd, 3)
		if l.Role == wall.Sized {
			label += " (sized)"
		}
		if l.BridgeShare > 0 {
			label += fmt.Sprintf(", %s %% bridged", fixed(100*l.BridgeShare, 0))
		}
		if l.Curve != nil {
			sd = fmt.Sprintf("%s dry to %s humid", fixed(l.Curve[0].Sd, 2), fixed(l.Curve[len(l.Curve)-1].Sd, 2))
		}
		t.Rows = append(t.Rows, []string{label, known(l.Thickness*1000, 1), known(l.Lambda, 3), known(l.R, 3), sd, l.Material.Source})
	}
	return t
}

// known leaves a property blank that a membrane, coat or air gap does not have.
func known(f float64, decimals int) string {
	if f == 0 {
		return ""
	}
	return fixed(f, decimals)
}

func yearTable(w *screen.Working) Table {
	y := &w.Year
	t := Table{
		Name: "year", Title: "The year with the strategy, month by month (ISO 13788)",
		Columns: []string{"month", "outside degC", "outside Pa", "inside degC", "inside Pa", "inner face of masonry RH %", "at timber depth degC", "at timber depth RH %", "condensate kg/m2", "retarder s_d m"},
		Note: fmt.Sprintf("Started in %s. Condensed %s kg/m2a, most held %s kg/m2, left after twelve months %s kg/m2. Timber depth %s mm from the inner face.",
			months[y.Start], fixed(y.Condensed, 3), fixed(y.Peak, 3), fixed(y.Residue, 3), fixed(w.TimberDepth*1000, 0)),
	}
	for m := range 12 {
		mo := &w.Months[m]
		sd := ""
		if y.RetarderSd[m] > 0 {
			sd = fixed(y.RetarderSd[m], 2)
		}
		t.Rows = append(t.Rows, []string{months[m], fixed(mo.Te, 1), fixed(mo.Pe, 0), fixed(mo.Ti, 1), fixed(mo.Pi, 0),
			fixed(100*y.InnerRH[m], 0), fixed(y.MarkTheta[m], 1), fixed(100*y.MarkRH[m], 0), fixed(y.Held[m], 3), sd})
	}
	return t
}

func indicators(w *screen.Working) Table {
	t := Table{
		Name: "indicators", Title: "Every indicator",
		Columns: []string{"indicator", "demand", "limit", "unit", "utilisation (favourable to adverse)", "month", "what it compares", "formula", "source"},
		Note: fmt.Sprintf("fRsi %s with Rsi %s for the mould check. Driving rain on the wall %s l/m2a, %s l/m2 in a long spell of %s rain hours; face A_w %s kg/m2s05 (w %s kg/m2h05), s_d %s m; %s wet freeze-thaw cycles a year; %s kKh/a heating degree-hours.",
			fixed(1-w.Heat.Surface.Demand, 3), fixed(w.Limits.RsiMould, 2), fixed(w.Rain.Annual, 0), fixed(w.Rain.Spell, 0), fixed(w.Rain.SpellHours, 0), fixed(w.Face.Aw, 4), fixed(60*w.Face.Aw, 2), fixed(w.Face.Sd, 2), fixed(w.FrostCycles, 0), fixed(w.DegreeHours/1000, 1)),
	}
	for id := range indicator.Count {
		v, info := w.Results[1][id], id.Info()
		if !v.Applies && !w.Results[2][id].Applies {
			continue
		}
		t.Rows = append(t.Rows, []string{info.Label, fixed(v.Demand, 3), fixed(v.Limit, 3), info.Unit,
			fmt.Sprintf("%s (%s to %s)", fixed(v.Utilisation, 2), fixed(w.Results[0][id].Utilisation, 2), fixed(w.Results[2][id].Utilisation, 2)),
			month(v.Month), info.Demand + "; limit: " + info.Limit, info.Formula, info.Source})
	}
	return t
}

func works(e *screen.Engine, w *screen.Working) Table {
	t := Table{Name: "works", Title: "Gates, and what to fix first in the order of work", Columns: []string{"what", "item", "why", "source"}}
	for _, g := range e.GatesOf(w.Judgement.Gates) {
		t.Rows = append(t.Rows, []string{"gate: " + g.Effect, g.Label, g.Reason, g.Source})
	}
	for _, s := range e.StepsOf(w.Judgement.Do | w.Judgement.Check) {
		what := "do"
		for _, c := range e.StepsOf(w.Judgement.Check) {
			if c.ID == s.ID {
				what = "check on site"
			}
		}
		t.Rows = append(t.Rows, []string{what, s.Label, s.Reason, s.Source})
	}
	return t
}
