package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/wall"
	"wallsift/screen"
)

// Case is a building, or a home by its walls, as it is or with facts changed in
// thought.
type Case struct {
	Change string // such as "a_w_kg_m2_s05 0.01"; "" as the inventory has it
	Walls  []ingest.Building
}

// Explain makes the tables of the working for one of some cases of a building, or
// of a home of which lost more walls were rejected, under a strategy, or under its
// best one when strategy is empty; of several cases, also a table that sets them
// side by side. An error names the strategies there are.
func Explain(e *screen.Engine, strategy string, cases []Case, shown, lost int) ([]Table, error) {
	w, err := e.Explain(cases[shown].Walls, lost, strategy)
	if err != nil {
		return nil, fmt.Errorf("%w; strategies: %s", err, strings.Join(texts(e.Strategies(), func(s config.Strategy) string { return s.ID }), ", "))
	}
	u, b := UnitsOf(e), w.Building
	tables := []Table{factsTable(u, e, b, w)}
	if c := cases[shown].Change; c != "" {
		tables[0].Title += ", as if " + c
	}
	if len(cases) > 1 {
		t, err := whatIf(e, w, cases, shown, lost)
		if err != nil {
			return nil, err
		}
		tables = append(tables, t)
	}
	tables = append(tables, choices(e, b, w), layers(u, w, "before", &w.Before, "The wall as it is"),
		layers(u, w, "after", &w.After, "The wall with: "+w.Strategy.Label))
	if w.Hourly != nil {
		tables = append(tables, hourlyFigures(u, e, b, w), courseTable(u, w))
	} else {
		tables = append(tables, yearTable(u, w))
	}
	tables = append(tables, indicators(u, e, b, w), workTable(u, e, w))
	if len(w.Home.Walls) > 0 {
		return append([]Table{wallsTable(e, u, w)}, tables...), nil
	}
	return tables, nil
}

// wallsTable shows the walls of a home and which of them the rest is about.
func wallsTable(e *screen.Engine, u *Units, w *screen.Working) Table {
	strategies, picked := e.Choices(), w.Home.Judgements[w.Picked].Strategy
	t := Table{
		Name: "walls", Title: "The walls of home " + w.Home.Building.ID,
		Columns: []string{"wall", "faces", "area, " + u.Area.Unit, "with " + strategies[picked].Label, "share of the limit", "best on its own", "verdict on that"},
		Note:    "What follows is about wall " + wallName(w.Building) + ", which governs. The table shows each wall under the measure explained; ranks and verdicts are those of the home, and each is that of its worst wall.",
	}
	for i := range w.Home.Walls {
		wall := &w.Home.Walls[i]
		j, best := wall.Under(picked), &wall.Judgements[0]
		t.Rows = append(t.Rows, []string{wallName(&wall.Building), ingest.FacingOf(j.Facing).String(), u.Known(&wall.Building, ingest.WallArea), VerdictWords(e, j), Spread(j), strategies[best.Strategy].Label, VerdictWords(e, best)})
	}
	if w.Home.Lost > 0 {
		t.Note = Counted(w.Home.Lost, "wall") + " of the home could not be read, so no verdict is better than survey first. " + t.Note
	}
	return t
}

// whatIf sets cases of a building side by side, all under the strategy that is
// explained; w is the working of the one that is shown.
func whatIf(e *screen.Engine, w *screen.Working, cases []Case, shown, lost int) (Table, error) {
	strategies := e.Choices()
	t := Table{
		Name: "what_if", Title: "What if, under: " + strategies[w.Home.Judgements[w.Picked].Strategy].Label, Columns: []string{"figure"},
		Note: "Each case is judged alone, as a row of the inventory would be. Nothing was changed in the inventory: a fact counts once it was investigated.",
	}
	heads, cells := people(e, "verdict", "chance", "share of the limit", "governed by", "what blocks it", "insulation judged", "insulation allowance", "saves", "saves, whole wall")
	for _, name := range append([]string{"best strategy"}, heads...) {
		t.Rows = append(t.Rows, []string{name})
	}
	for i, c := range cases {
		heading := "as the inventory has it"
		if c.Change != "" {
			heading = "if " + c.Change
		}
		t.Columns = append(t.Columns, heading)
		row := w.Home
		if i != shown {
			var err error
			if row, err = e.Answer(c.Walls, lost); err != nil {
				return t, err
			}
		}
		t.Rows[0] = append(t.Rows[0], strategies[row.Judgements[0].Strategy].Label)
		for n, text := range cells(&row, &row.Building, row.Under(w.Home.Judgements[w.Picked].Strategy)) {
			t.Rows[n+1] = append(t.Rows[n+1], text)
		}
	}
	t.Rows = slices.DeleteFunc(t.Rows, func(row []string) bool { return strings.Join(row[1:], "") == "" })
	return t, nil
}

func factsTable(u *Units, e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	t := Table{Name: "facts", Title: "Building " + b.ID, Columns: []string{"fact", "value"}}
	add := func(name, value string) {
		if value != "" {
			t.Rows = append(t.Rows, []string{name, value})
		}
	}
	add("home", b.Home)
	add("stone", w.Before.Layers[w.Before.Masonry].Material.Label)
	add("climate zone", fmt.Sprintf("%s, station %s (%s)", Labels(e.InputOptions().Zones)[b.Zone], w.Station.Label, w.Station.Source))
	for n := range ingest.NumNumbers {
		add(Named(n.Name()), u.Known(b, n))
	}
	add("outside walls face", b.Facings.String())
	for c := range ingest.NumCategories {
		add(Named(c.Name()), Named(c.Levels()[b.Cat[c]]))
	}
	if list := texts(missing(b), func(field string) string { return e.FindingOf(field).Label }); len(list) > 0 {
		t.Note = "Not known, and so spread over a range: " + strings.Join(list, "; ") + "."
	}
	return t
}

func choices(e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	all, strategies := w.Home.Judgements, e.Choices()
	heads, cells := people(e, "strategy", "verdict", "chance", "share of the limit", "saves", "U after", "governed by", "what blocks it")
	t := Table{Name: "choices", Title: "Strategies in order of rank", Columns: slices.Concat([]string{"rank"}, heads, []string{"id, for --strategy"}), Note: screen.RankingRule}
	if p := w.Home.Past; p.Draws > 0 {
		t.Note = pastNote(&p) + t.Note
	}
	if best := &strategies[all[0].Strategy]; w.Picked > 0 {
		t.Note = "Explained here is " + w.Strategy.Label + "; the best is " + best.Label + ". " + t.Note
	}
	for i := range all {
		j := &all[i]
		t.Rows = append(t.Rows, slices.Concat([]string{strconv.Itoa(i + 1)}, cells(&w.Home, b, j), []string{strategies[j.Strategy].ID}))
	}
	return t
}

func layers(u *Units, w *screen.Working, name string, x *wall.Wall, heading string) Table {
	r, rse, rsi := x.Resistance(), w.Monthly.Limits.Rse, w.Monthly.Limits.Rsi
	uOf := func(t float64) string { return fixed(u.U.Of(t), u.U.Decimals+1) + " " + u.U.Unit } // a working shows a digit more
	t := Table{
		Name: name, Title: heading + ", outside to inside",
		Columns: []string{"layer", "thickness, " + u.Thickness.Unit, "lambda, " + u.Conductivity.Unit, "R, " + u.Resistance.Unit, "s_d, m", "source"},
		Note: fmt.Sprintf("R of the layers %s; U = %s with R_se %s and R_si %s (ISO 6946).",
			u.Resistance.With(r), uOf(x.U(rsi, rse)), u.Surface.Text(rse), u.Surface.Text(rsi)),
	}
	for i := range x.Layers[:x.N] {
		l := &x.Layers[i]
		label, sd := l.Material.Label, ""
		if l.Sd != 0 {
			sd = fixed(l.Sd, 3)
		}
		if l.Role == wall.Sized {
			label += " (sized)"
		}
		if l.BridgeShare > 0 {
			label += fmt.Sprintf(", %s bridged", percent(l.BridgeShare))
			t.Note = fmt.Sprintf("R of the layers %s, bridges left out: that alone would give U = %s. With bridges U = %s. R_se %s, R_si %s (ISO 6946).",
				u.Resistance.With(r), uOf(1/(r+rse+rsi)), uOf(x.U(rsi, rse)), u.Surface.Text(rse), u.Surface.Text(rsi))
		}
		if l.Curve != nil {
			sd = fmt.Sprintf("%s dry to %s humid", fixed(l.Curve[0].Sd, 2), fixed(l.Curve[len(l.Curve)-1].Sd, 2))
		}
		t.Rows = append(t.Rows, []string{label, u.Thickness.known(l.Thickness), u.Conductivity.known(l.Lambda), u.Resistance.known(l.R), sd, l.Material.Source})
	}
	return t
}

func yearTable(u *Units, w *screen.Working) Table {
	y := &w.Year
	t := Table{
		Name: "year", Title: "The year with the strategy, month by month (ISO 13788)",
		Columns: []string{"month", "outside, " + u.Temperature.Unit, "outside, Pa", "inside, " + u.Temperature.Unit, "inside, Pa", "inner face of masonry, RH %", "at timber depth, " + u.Temperature.Unit, "at timber depth, RH %", "condensate, kg/m²", "vapour control s_d, m"},
		Note: fmt.Sprintf("Started in %s. Condensed %s kg/(m²·a), most held %s kg/m², left after twelve months %s kg/m². Timber depth %s from the inner face.",
			month(int8(y.Start)), fixed(y.Condensed, 3), fixed(y.Peak, 3), fixed(y.Residue, 3), u.Insulation.With(w.Monthly.TimberDepth)),
	}
	for m := range 12 {
		mo := &w.Monthly.Months[m]
		sd := ""
		if y.RetarderSd[m] > 0 {
			sd = fixed(y.RetarderSd[m], 2)
		}
		t.Rows = append(t.Rows, []string{month(int8(m)), u.Temperature.Text(mo.Te), fixed(mo.Pe, 0), u.Temperature.Text(mo.Ti), fixed(mo.Pi, 0),
			fixed(100*y.InnerRH[m], 0), u.Temperature.Text(y.MarkTheta[m]), fixed(100*y.MarkRH[m], 0), fixed(y.Held[m], 3), sd})
	}
	return t
}

func indicators(u *Units, e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	t := Table{
		Name: "indicators", Title: "Every indicator",
		Columns: []string{"indicator", "demand", "limit", "unit", "share of the limit (favourable to adverse)", "month", "what it compares", "formula", "source"},
		Note: fmt.Sprintf("fRsi %s with Rsi %s for the mould check. Driving rain on the wall %s l/(m²·a), %s l/m² in a long spell of %s rain hours; face A_w %s kg/(m²·√s) (w %s kg/(m²·√h)), s_d %s m; %s wet freeze-thaw cycles a year; %s heating degree-hours.",
			fixed(1-w.Results[1][indicator.SurfaceMould].Demand, 3), u.Surface.With(w.Monthly.Limits.RsiMould), fixed(w.Monthly.Rain.Annual, 0), fixed(w.Monthly.Rain.Spell, 0), fixed(w.Monthly.Rain.SpellHours, 0), fixed(w.After.Face.Aw, 4), fixed(60*w.After.Face.Aw, 2), fixed(w.After.Face.Sd, 2), fixed(w.Monthly.FrostCycles, 0), u.DegreeHours.With(w.DegreeHours)),
	}
	if w.Hourly != nil { // one run of the wall, one figure
		t.Columns[4] = "share of the limit"
		t.Note = "Typical case. Chances are in the table above."
	} else if e.Config().Run.Tier != config.TierSteady && w.Judgement.Excluded {
		t.Note = "By the monthly method, since a rule excludes this strategy and it is not run: these figures cannot be set beside hourly ones. " + t.Note
	}
	for id := range indicator.Count {
		v, info := w.Results[1][id], id.In(w.Judgement.Tier)
		if v.NotJudged {
			t.Rows = append(t.Rows, []string{info.Label, "", "", "", "not judged", "", "a figure of the stone is missing", info.Formula, info.Source})
		}
		if !v.Applies && !w.Results[2][id].Applies {
			continue
		}
		used, limit := Share(v.Utilisation), figure(u, v.Limit, info.Unit)
		if w.Hourly == nil {
			used += " (" + Share(w.Results[0][id].Utilisation) + " to " + Share(w.Results[2][id].Utilisation) + ")"
		}
		if v.Utilisation == 0 && v.Demand > 0 && v.Limit > 0 {
			used, limit = "no limit at this load", ""
		}
		_, unit := u.Measure(0, info.Unit)
		t.Rows = append(t.Rows, []string{where(b, id), figure(u, v.Demand, info.Unit), limit, unit, used,
			cmp.Or(date(v.Day), month(v.Month)), info.Demand + "; limit: " + info.Limit, info.Formula, info.Source})
	}
	return t
}

func figure(u *Units, x float64, unit string) string {
	x, _ = u.Measure(x, unit)
	return fixed(x, 3)
}

// pastNote says what the wall's own past did to the draws.
func pastNote(p *screen.Past) string {
	note := fmt.Sprintf("Under %d of %s the wall as it stands would have been ruined by now", p.Ruined, Counted(p.Draws, "draw"))
	switch {
	case p.Ruined == 0 || p.Ruined == p.Draws && p.Weight == 1:
	case p.Weight == 0:
		note += ", against what was seen of it or is usual of standing walls: these draws are left out"
	case p.Weight < 1:
		note += fmt.Sprintf(", against what was seen of it or is usual of standing walls: each counts %s of another draw", percent(p.Weight))
	case p.Weight > 1:
		note += fmt.Sprintf(", as it was seen to be: each counts %s times another draw", fixed(p.Weight, 0))
	}
	return note + ". "
}

// workTable is the work list of one judgement, with whether the building is
// ready for it.
func workTable(u *Units, e *screen.Engine, w *screen.Working) Table {
	strategies := e.Choices()
	ready, list := jobs(e, u, &w.Home, &w.Home.Judgements[w.Picked], nil)
	state := ready.String()
	if ready == screen.NoMeasurePasses { // of others nothing is said here
		state = VerdictWords(e, &w.Judgement)
	}
	j := &w.Home.Judgements[w.Picked]
	label := strategies[j.Strategy].Label
	if apart := wallByWall(strategies, &w.Home); strategies[j.Strategy].ID == screen.WallByWall.ID {
		label += ": " + apart
	}
	t := Table{
		Name: "works", Title: "Work list for: " + label + " (" + state + ")",
		Columns: []string{"order", "stage", "action", "work", "caution", "why", "blocks", "layer", "source"},
		Note:    cautioned(strategyDangers(strategies, &w.Home, j)) + " Layers are numbered outside to inside, and listed as they are built. " + ReadyRule + " " + InvestigateRule,
	}
	for i := range list {
		x, caution := &list[i], ""
		if x.Step != nil || x.Layer != nil && len(w.Home.Walls) > 0 { // else it stands below
			caution = x.dangers(strategies)
		}
		t.Rows = append(t.Rows, []string{strconv.Itoa(i + 1), x.Stage.Label, x.Action.String(), x.what(), caution, x.why(), x.blocks(), x.layer(), x.source(strategies)})
	}
	return t
}
