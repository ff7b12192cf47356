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
	"wallsift/model/simulate"
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
		return nil, fmt.Errorf("%w; strategies: %s", err, strings.Join(mapped(e.Strategies(), func(s config.Strategy) string { return s.ID }), ", "))
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
func wallsTable(e *screen.Engine, u Units, w *screen.Working) Table {
	strategies, picked := e.Choices(), w.Home.Judgements[w.Picked].Strategy
	t := Table{
		Name: "walls", Title: "The walls of home " + w.Home.Building.ID,
		Columns: []string{"wall", "faces", "area, " + Area[u].Unit, "with " + strategies[picked].Label, "share of the limit", "best on its own", "verdict on that"},
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
		Name: "what_if", Title: "What if, under: " + strategies[w.Home.Judgements[w.Picked].Strategy].Label,
		Note: "Each case is judged alone, as a row of the inventory would be. Nothing was changed in the inventory: a fact counts once it was investigated.",
	}
	heads, cells := people(e, "verdict", "chance", "share of the limit", "governed by", "what blocks it", "insulation judged", "insulation allowance", "saves", "saves, whole wall")
	sides := [][]string{append([]string{"figure", "best strategy"}, heads...)}
	for i, c := range cases {
		heading := "as the inventory has it"
		if c.Change != "" {
			heading = "if " + c.Change
		}
		row := w.Home
		if i != shown {
			var err error
			if row, err = e.Answer(c.Walls, lost); err != nil {
				return t, err
			}
		}
		best := strategies[row.Judgements[0].Strategy].Label
		sides = append(sides, append([]string{heading, best}, cells(&row, &row.Building, row.Under(w.Home.Judgements[w.Picked].Strategy))...))
	}
	for n := range sides[0] {
		if row := mapped(sides, func(side []string) string { return side[n] }); strings.Join(row[1:], "") != "" {
			t.Rows = append(t.Rows, row)
		}
	}
	t.Columns, t.Rows = t.Rows[0], t.Rows[1:]
	return t, nil
}

func factsTable(u Units, e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
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
	if list := mapped(missing(b), func(field string) string { return e.Finding(field).Label }); len(list) > 0 {
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

func layers(u Units, w *screen.Working, name string, x *wall.Wall, heading string) Table {
	r, rse, rsi := x.Resistance(), w.Monthly.Limits.Rse, w.Monthly.Limits.Rsi
	finer := Transmittance[u]
	finer.Decimals++ // a working shows a digit more
	t := Table{
		Name: name, Title: heading + ", outside to inside",
		Columns: []string{"layer", "thickness, " + Thickness[u].Unit, "lambda, " + Conductivity[u].Unit, "R, " + Resistance[u].Unit, "s_d, m", "source"},
		Note: fmt.Sprintf("R of the layers %s; U = %s with R_se %s and R_si %s (ISO 6946).",
			Resistance[u].With(r), finer.With(x.U(rsi, rse)), Surface[u].Text(rse), Surface[u].Text(rsi)),
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
				Resistance[u].With(r), finer.With(1/(r+rse+rsi)), finer.With(x.U(rsi, rse)), Surface[u].Text(rse), Surface[u].Text(rsi))
		}
		if l.Curve != nil {
			sd = fmt.Sprintf("%s dry to %s humid", fixed(l.Curve[0].Sd, 2), fixed(l.Curve[len(l.Curve)-1].Sd, 2))
		}
		t.Rows = append(t.Rows, []string{label, Thickness[u].known(l.Thickness), Conductivity[u].known(l.Lambda), Resistance[u].known(l.R), sd, l.Material.Source})
	}
	return t
}

func yearTable(u Units, w *screen.Working) Table {
	y := &w.Year
	t := Table{
		Name: "year", Title: "The year with the strategy, month by month (ISO 13788)",
		Columns: []string{"month", "outside, " + Temperature[u].Unit, "outside, Pa", "inside, " + Temperature[u].Unit, "inside, Pa", "inner face of masonry, RH %", "at timber depth, " + Temperature[u].Unit, "at timber depth, RH %", "condensate, kg/m²", "vapour control s_d, m"},
		Note: fmt.Sprintf("Started in %s. Condensed %s kg/(m²·a), most held %s kg/m², left after twelve months %s kg/m². Timber depth %s from the inner face.",
			month(int8(y.Start)), fixed(y.Condensed, 3), fixed(y.Peak, 3), fixed(y.Residue, 3), Insulation[u].With(w.Monthly.TimberDepth)),
	}
	for m := range 12 {
		mo := &w.Monthly.Months[m]
		sd := ""
		if y.RetarderSd[m] > 0 {
			sd = fixed(y.RetarderSd[m], 2)
		}
		t.Rows = append(t.Rows, []string{month(int8(m)), Temperature[u].Text(mo.Te), fixed(mo.Pe, 0), Temperature[u].Text(mo.Ti), fixed(mo.Pi, 0),
			fixed(100*y.InnerRH[m], 0), Temperature[u].Text(y.MarkTheta[m]), fixed(100*y.MarkRH[m], 0), fixed(y.Held[m], 3), sd})
	}
	return t
}

func indicators(u Units, e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	t := Table{
		Name: "indicators", Title: "Every indicator",
		Columns: []string{"indicator", "demand", "limit", "unit", "share of the limit (favourable to adverse)", "month", "what it compares", "formula", "source"},
		Note: fmt.Sprintf("fRsi %s with Rsi %s for the mould check. Driving rain on the wall %s l/(m²·a), %s l/m² in a long spell of %s rain hours; face A_w %s kg/(m²·√s) (w %s kg/(m²·√h)), s_d %s m; %s wet freeze-thaw cycles a year; %s heating degree-hours.",
			fixed(1-w.Results[1][indicator.SurfaceMould].Demand, 3), Surface[u].With(w.Monthly.Limits.RsiMould), fixed(w.Monthly.Rain.Annual, 0), fixed(w.Monthly.Rain.Spell, 0), fixed(w.Monthly.Rain.SpellHours, 0), fixed(w.After.Face.Aw, 4), fixed(60*w.After.Face.Aw, 2), fixed(w.After.Face.Sd, 2), fixed(w.Monthly.FrostCycles, 0), DegreeHours[u].With(w.DegreeHours)),
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
		demand, unit := u.Measure(v.Demand, info.Unit)
		most, _ := u.Measure(v.Limit, info.Unit)
		used, limit := Share(v.Utilisation), fixed(most, 3)
		if w.Hourly == nil {
			used += " (" + Share(w.Results[0][id].Utilisation) + " to " + Share(w.Results[2][id].Utilisation) + ")"
		}
		if v.Utilisation == 0 && v.Demand > 0 && v.Limit > 0 {
			used, limit = "no limit at this load", ""
		}
		t.Rows = append(t.Rows, []string{where(b, id), fixed(demand, 3), limit, unit, used,
			cmp.Or(date(v.Day), month(v.Month)), info.Demand + "; limit: " + info.Limit, info.Formula, info.Source})
	}
	return t
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
func workTable(u Units, e *screen.Engine, w *screen.Working) Table {
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

// hourlyFigures sums up the transient tier's run of a wall.
func hourlyFigures(u Units, e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	h := w.Hourly
	o := &h.Outcome
	t := Table{Name: "hourly", Title: "The year with the strategy, hour by hour", Columns: []string{"figure", "with the strategy", "wall as it is"}, Note: strings.Join(Clauses(u, e, b, &w.Judgement), "")}
	add := func(name, after, before string) { t.Rows = append(t.Rows, []string{name, after, before}) }
	bare := &h.Before
	add("weather", h.Weather, h.Weather)
	add("facing that governs, of "+Counted(int(w.Judgement.Facings), "facing")+" judged", ingest.FacingOf(w.Judgement.Facing).String(), ingest.FacingOf(w.Judgement.Facing).String())
	add("driving rain that stays on the face, kg/(m²·a)", fixed(o.Rain, 0), fixed(bare.Rain, 0))
	add("of it that does not run off, kg/(m²·a)", fixed(o.Taken, 0), fixed(bare.Taken, 0))
	add("water in the wall, mean, kg/m²", fixed(o.Water, 1), fixed(bare.Water, 1))
	if o.Insulated {
		add("highest daily humidity at the cold face of the insulation, %", fixed(100*o.ColdRH, 0), "")
		add("highest daily humidity at the inner face, %", "", fixed(100*bare.ColdRH, 0))
	} else {
		add("highest daily humidity at the inner face, %", fixed(100*o.ColdRH, 0), fixed(100*bare.ColdRH, 0))
	}
	add("frosts "+fixed(1000*w.Monthly.Limits.FrostDepth, 0)+" mm behind the face", fixed(o.Frost.Frosts, 0), fixed(bare.Frost.Frosts, 0))
	add("of them above the critical filling of the stone", cycles(o.Frost.Cycles), cycles(bare.Frost.Cycles))
	add("filling of its pores in the fullest frost, % of capillary saturation", fixed(100*float64(o.Frost.Fullest[0].Filling), 0), fixed(100*float64(bare.Frost.Fullest[0].Filling), 0))
	if o.Insulated {
		add("drying reserve of the critical face, kg/(m²·a)", fixed(o.Reserve.Value, 2), "")
	}
	if k := h.Place - simulate.PlaceTimber; w.Results[1][indicator.TimberHumidity].Applies {
		add("highest moisture content of a timber end, % (caution at 20)", fixed(100*o.TimberMoisture[k].Value, 0), fixed(100*bare.TimberMoisture[k].Value, 0))
		add("dry mass lost by rot after the settled years and the judged one, %", fixed(100*o.TimberLoss[k], 1), fixed(100*bare.TimberLoss[k], 1))
	}
	add("years until the wall repeated its year", fmt.Sprint(o.Years), fmt.Sprint(bare.Years))
	if w.Judgement.Chance >= 0 {
		add("chance that a limit is exceeded, from "+Counted(int(w.Judgement.Draws), "draw"), Chance(&w.Judgement), "")
	}
	if o.Unfrozen {
		add("note", "run without ice in the pores, with it the engine did not converge", "")
	}
	return t
}

// cycles prints a count of frost cycles, which a stone without data has none of.
func cycles(n float64) string {
	if n != n {
		return "not judged: no critical filling of this stone"
	}
	return fixed(n, 0)
}

// The drawing of a course: a column for each step of relative humidity.
const (
	drawnFrom, drawnTo = 0.50, 1.0
	drawnColumns       = 26
	drawnDays          = 14
)

// courseTable draws the yearly course of moisture at the cold face and at the
// timber, a line for every fortnight.
func courseTable(u Units, w *screen.Working) Table {
	c, place := &w.Hourly.Course, w.Hourly.Place
	t := Table{
		Name: "course", Title: "Yearly course, means of fortnights",
		Columns: []string{"from", "cold face, " + Temperature[u].Unit, "RH %", "timber, " + Temperature[u].Unit, "RH %", "water kg/m²", "rain kg/m²", "50 % c cold face, t timber, x both 100 %"},
		Note:    "Cold face: outer face of the insulation, or inner face of a wall without. Timber: at its depth, also where there is none.",
	}
	for from := 0; from+drawnDays <= 365; from += drawnDays {
		mean := func(v *[365]float64) float64 {
			sum := 0.0
			for _, x := range v[from : from+drawnDays] {
				sum += x
			}
			return sum / drawnDays
		}
		cold, timber := mean(&c.RH[simulate.PlaceCold]), mean(&c.RH[place])
		t.Rows = append(t.Rows, []string{date(int16(from)), Temperature[u].Text(mean(&c.Theta[simulate.PlaceCold])), fixed(100*cold, 0), Temperature[u].Text(mean(&c.Theta[place])),
			fixed(100*timber, 0), fixed(mean(&c.Water), 1), fixed(drawnDays*mean(&c.Rain), 1), drawn(cold, timber)})
	}
	return t
}

func drawn(cold, timber float64) string {
	line := []byte(strings.Repeat(".", drawnColumns))
	at := func(rh float64) int {
		return int(max(0, min((rh-drawnFrom)/(drawnTo-drawnFrom), 1))*(drawnColumns-1) + 0.5)
	}
	line[at(cold)] = 'c'
	if at(timber) == at(cold) {
		line[at(cold)] = 'x'
	} else {
		line[at(timber)] = 't'
	}
	return string(line)
}
