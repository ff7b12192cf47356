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
	w, err := e.Explain(b, strategy)
	if err != nil {
		return nil, err
	}
	u := unitsOf(e)
	tables := []Table{
		factsTable(u, b, w), choices(e, b, w), layers(u, w, "before", &w.Before, "The wall as it is"),
		layers(u, w, "after", &w.After, "The wall with: "+w.Strategy.Label),
	}
	if w.Hourly != nil {
		tables = append(tables, hourlyFigures(u, e, w), courseTable(u, w))
	} else {
		tables = append(tables, yearTable(u, w))
	}
	return append(tables, indicators(u, e, w), workTable(e, b, w)), nil
}

func factsTable(u *units, b *ingest.Building, w *screen.Working) Table {
	t := Table{Name: "facts", Title: "Building " + b.ID, Columns: []string{"fact", "value"}}
	add := func(name, value string) { t.Rows = append(t.Rows, []string{name, value}) }
	add("stone_type", b.Stone)
	add("climate_zone", fmt.Sprintf("%s, station %s (%s)", b.Zone, w.Station.Label, w.Station.Source))
	for n := range ingest.NumNumbers {
		if x := b.Num[n]; x == x {
			add(n.Name(), u.fact(n, x))
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

func choices(e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	all := w.Answer.Judgements
	u := unitsOf(e)
	t := Table{
		Name: "choices", Title: "Strategies in order of rank",
		Columns: []string{"rank", "strategy", "verdict", "chance", "utilisation", "saves " + u.heat.label, u.uHead("U after"), "governed by", "what holds it back"},
		Note:    u.prose(screen.RankingRule),
	}
	if p := w.Answer.Past; p.Draws > 0 {
		t.Note = pastNote(&p) + t.Note
	}
	strategies := e.Strategies()
	for i := range all {
		j := &all[i]
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), strategies[j.Strategy].ID, j.Verdict.String(), Chance(j), Spread(j), u.heat.print(j.Saved), u.transmittance.print(j.UAfter), governed(j), reasons(e, b, j)})
	}
	return t
}

func layers(u *units, w *screen.Working, name string, x *wall.Wall, heading string) Table {
	t := Table{
		Name: name, Title: heading + ", outside to inside",
		Columns: []string{"layer", u.thickness.label, "lambda " + u.conductivity.label, "R " + u.resistance.label, "s_d m", "source"},
		Note:    u.wallNote(x.Resistance(), x.U(w.Limits.Rsi, w.Limits.Rse), w.Limits.Rse, w.Limits.Rsi),
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
		t.Rows = append(t.Rows, []string{label, u.thickness.known(l.Thickness), u.conductivity.known(l.Lambda), u.resistance.known(l.R), sd, l.Material.Source})
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

func yearTable(u *units, w *screen.Working) Table {
	y := &w.Year
	t := Table{
		Name: "year", Title: "The year with the strategy, month by month (ISO 13788)",
		Columns: []string{"month", "outside " + u.temperature.label, "outside Pa", "inside " + u.temperature.label, "inside Pa", "inner face of masonry RH %", "at timber depth " + u.temperature.label, "at timber depth RH %", "condensate kg/m2", "retarder s_d m"},
		Note: fmt.Sprintf("Started in %s. Condensed %s kg/m2a, most held %s kg/m2, left after twelve months %s kg/m2. Timber depth %s %s from the inner face.",
			months[y.Start], fixed(y.Condensed, 3), fixed(y.Peak, 3), fixed(y.Residue, 3), u.depth.print(w.Monthly.TimberDepth), u.depth.label),
	}
	for m := range 12 {
		mo := &w.Months[m]
		sd := ""
		if y.RetarderSd[m] > 0 {
			sd = fixed(y.RetarderSd[m], 2)
		}
		t.Rows = append(t.Rows, []string{months[m], u.temperature.print(mo.Te), fixed(mo.Pe, 0), u.temperature.print(mo.Ti), fixed(mo.Pi, 0),
			fixed(100*y.InnerRH[m], 0), u.temperature.print(y.MarkTheta[m]), fixed(100*y.MarkRH[m], 0), fixed(y.Held[m], 3), sd})
	}
	return t
}

func indicators(u *units, e *screen.Engine, w *screen.Working) Table {
	t := Table{
		Name: "indicators", Title: "Every indicator",
		Columns: []string{"indicator", "demand", "limit", "unit", "utilisation (favourable to adverse)", "month", "what it compares", "formula", "source"},
		Note: fmt.Sprintf("fRsi %s with Rsi %s %s for the mould check. Driving rain on the wall %s l/m2a, %s l/m2 in a long spell of %s rain hours; face A_w %s kg/m2s05 (w %s kg/m2h05), s_d %s m; %s wet freeze-thaw cycles a year; %s %s heating degree-hours.",
			fixed(1-w.Results[1][indicator.SurfaceMould].Demand, 3), u.surface.print(w.Limits.RsiMould), u.surface.label, fixed(w.Monthly.Rain.Annual, 0), fixed(w.Monthly.Rain.Spell, 0), fixed(w.Monthly.Rain.SpellHours, 0), fixed(w.After.Face.Aw, 4), fixed(60*w.After.Face.Aw, 2), fixed(w.After.Face.Sd, 2), fixed(w.Monthly.FrostCycles, 0), u.degreeHours.print(w.DegreeHours), u.degreeHours.label),
	}
	if w.Hourly != nil { // one run of the wall, one figure
		t.Columns[4] = "utilisation"
		t.Note = "Typical case. Chances are in the table above."
	}
	for id := range indicator.Count {
		v, info := w.Results[1][id], id.In(w.Judgement.Tier)
		if v.NotJudged {
			t.Rows = append(t.Rows, []string{info.Label, "", "", "", "not judged", "", "a figure of the stone is missing", info.Formula, info.Source})
		}
		if !v.Applies && !w.Results[2][id].Applies {
			continue
		}
		used := Used(v.Utilisation)
		if w.Hourly == nil {
			used += " (" + Used(w.Results[0][id].Utilisation) + " to " + Used(w.Results[2][id].Utilisation) + ")"
		}
		demand, limit, unit := u.indicator(v.Demand, v.Limit, info.Unit)
		t.Rows = append(t.Rows, []string{info.Label, demand, limit, unit, used,
			moment(&v), u.prose(info.Demand + "; limit: " + info.Limit), info.Formula, info.Source})
	}
	return t
}

// pastNote says what the wall's own past did to the draws.
func pastNote(p *screen.Past) string {
	note := fmt.Sprintf("Under %d of %s the wall as it stands would have been ruined by now", p.Ruined, Counted(p.Draws, "draw"))
	switch {
	case p.Ruined == 0 || p.Ruined == p.Draws && p.Draws > 0 && p.Weight == 1:
	case p.Weight == 0:
		note += ", against what was seen of it or is usual of standing walls: these draws are left out"
	case p.Weight < 1:
		note += fmt.Sprintf(", against what was seen of it or is usual of standing walls: each counts %s of another draw", percent(p.Weight))
	case p.Weight > 1:
		note += fmt.Sprintf(", as it was seen to be: each counts %s times another draw", fixed(p.Weight, 0))
	}
	return note + ". "
}
