package report

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// Grids are the tables over the whole portfolio: at a glance, by strategy, work
// by stage, by group, repairs, and facts to find out. A run without groups or
// draws has fewer.
func Grids(e *screen.Engine, run *screen.Run, t *Trades) []Grid {
	out := []Grid{glance(e, run, t), byStrategy(e, run), stages(e, run, t)}
	if len(run.Groups) > 1 {
		out = append(out, groups(e, run))
	}
	out = append(out, repairs(e, run))
	if run.Surveyed > 0 {
		out = append(out, surveyFacts(e, run))
	}
	return out
}

// Overview makes the printed tables of a run: those of Grids, the best strategy
// for each building, where a survey is worth most, and the ranking within each
// strategy. top bounds the rows of the long ones; 0 means all.
func Overview(e *screen.Engine, run *screen.Run, t *Trades, v *Visits, top int) ([]Table, error) {
	const maxGroups = 30 // printed
	var tables []Table
	for _, g := range Grids(e, run, t) {
		if cut := len(g.Rows) - maxGroups; g.Name == "groups" && cut > 0 {
			g.Rows = g.Rows[:maxGroups]
			g.Note += fmt.Sprintf(" %d more are on the sheet Groups of the workbook.", cut)
		}
		tables = append(tables, g.Table())
	}
	visits, err := surveyOrder(v, top)
	if err != nil {
		return nil, err
	}
	for s := -1; s < len(run.Choices()); s++ {
		t, err := ranked(e, run, s, top)
		if err != nil {
			return nil, err
		}
		if tables = append(tables, t); s < 0 {
			tables = append(tables, visits)
		}
	}
	return tables, nil
}

// glance counts buildings by the verdict on their best strategy, and beside it by
// what stands before the start of work.
func glance(e *screen.Engine, run *screen.Run, t *Trades) Grid {
	g := Grid{
		Name: "glance", Title: "The portfolio at a glance: " + Counted(run.Counts.Accepted, "building"),
		Heads: []Head{{Title: "the best strategy is", Look: VerdictLook}, {Title: "buildings", Number: true, Look: BarLook}},
		Note:  Together(e, run) + " " + VerdictRule + " " + ReadyRule + " " + InvestigateRule,
	}
	for r := range screen.NumReadiness {
		g.Heads = append(g.Heads, Head{Title: r.String(), Number: true, Look: BarLook})
	}
	for v := range screen.NumVerdicts {
		g.Rows = append(g.Rows, append([]any{v.String(), run.BestBy[v]}, mapped(t.Ready[v][:], boxed)...))
	}
	return g
}

func boxed(n int) any { return n }

// verdictHeads is one column of counts for each verdict.
func verdictHeads() (out []Head) {
	for v := range screen.NumVerdicts {
		out = append(out, Head{Title: v.String(), Number: true, Look: BarLook, Verdict: 1 + int(v)})
	}
	return out
}

func byStrategy(e *screen.Engine, run *screen.Run) Grid {
	heat := Heat[UnitsOf(e)]
	g := Grid{Name: "strategies", Title: "Buildings by strategy and verdict", Note: "Mean saving: heat through the wall, not a fuel bill. " + screen.RankingRule}
	g.Heads = append([]Head{{Title: "strategy"}}, verdictHeads()...)
	g.Heads = append(g.Heads, Head{Title: "ranks first at", Number: true, Look: BarLook}, Head{Title: "mean saving where suited, " + heat.Unit, Number: true, Decimals: heat.Decimals}, Head{Title: "caution", Long: true})
	for i, s := range run.Choices() {
		v := run.Verdicts[i]
		var mean any
		if n := v[screen.Suited] + v[screen.SuitedAfterRepairs]; n > 0 {
			mean = heat.Of(run.Saved[i] / float64(n))
		}
		g.Rows = append(g.Rows, slices.Concat([]any{s.Label}, mapped(v[:], boxed), []any{run.Best[i], mean, warned(&s)}))
		if s.Side == config.SideNone && v[screen.NotSuited] > 0 && !strings.Contains(g.Note, RepairsNotEnough) {
			g.Note = RepairsNote(e) + " " + g.Note
		}
	}
	return g
}

func stages(e *screen.Engine, run *screen.Run, t *Trades) Grid {
	u := UnitsOf(e)
	g := Grid{
		Name: "work", Title: "Work by stage, in the order of work, at buildings",
		Heads: []Head{{Title: "stage"}, {Title: "planned at", Number: true, Look: BarLook}, {Title: "wall area there, where known, " + Area[u].Unit, Number: true},
			{Title: "to investigate first at", Number: true, Look: BarLook}, {Title: "the measure waits for it at", Number: true, Look: BarLook}},
		Note: "By the best strategy of each building that no rule excludes; the lists are in " + Written(e, run, WorkListCSV) + ". What waits for an investigation counts there.",
	}
	for _, s := range t.Stages {
		if s.Do+s.Look > 0 {
			g.Rows = append(g.Rows, []any{s.Stage.Label, s.Do, Area[u].Of(s.Area), s.Look, s.Held})
		}
	}
	return g
}

// groups sums up by group; buildings without one have a row too, so that the rows add
// up to the foot.
func groups(e *screen.Engine, run *screen.Run) Grid {
	u, price, all := UnitsOf(e), e.Config().Energy.PricePerKWh, screen.Group{Verdicts: run.BestBy, Saved: run.Together}
	g := Grid{Name: "groups", Title: "The best strategy by group", Heads: append([]Head{{Title: "group", Inventory: true}, {Title: "buildings", Number: true}}, verdictHeads()...),
		Note: "Saved: by the best strategies that are suited or suited after repairs, where the wall area is given; heat through the wall, not a fuel bill. It is rounded at each building, and then summed."}
	g.Heads = append(g.Heads, Head{Title: "saved, " + Energy[u].Unit, Number: true, Look: BarLook})
	if price != nil {
		g.Heads = append(g.Heads, Head{Title: "saved, " + Money(&e.Config().Output) + "/a", Number: true})
	}
	row := func(name string, of *screen.Group) []any {
		sum := 0
		for _, n := range of.Verdicts {
			sum += n
		}
		out := slices.Concat([]any{name, sum}, mapped(of.Verdicts[:], boxed), []any{math.Round(Energy[u].Of(of.Saved))})
		if price != nil {
			out = append(out, math.Round(*price*of.Saved))
		}
		return out
	}
	rest := all
	for _, key := range slices.Sorted(maps.Keys(run.Groups)) {
		of := run.Groups[key]
		for v, n := range of.Verdicts {
			rest.Verdicts[v] -= n
		}
		rest.Saved -= of.Saved
		g.Rows = append(g.Rows, row(key, of))
	}
	if rest.Verdicts != [screen.NumVerdicts]int{} {
		g.Rows = append(g.Rows, row("(no group, or not among these)", &rest))
	}
	g.Foot = row("in all", &all)
	for i, x := range g.Foot {
		sum, ok := x.(float64)
		for _, row := range g.Rows {
			if ok {
				sum -= row[i].(float64)
			}
		}
		if sum != 0 {
			g.Note += " The last digit of " + g.Heads[i].Title + " in all may differ from the sum of the rows, which are rounded each."
		}
	}
	if run.GroupsCut {
		g.Note += " There are more groups; each building's own is in " + Written(e, run, RankingCSV) + "."
	}
	return g
}

// repairs counts the steps that mend the wall. Those that only prepare or are part
// of a strategy are left to its work list.
func repairs(e *screen.Engine, run *screen.Run) Grid {
	g := Grid{
		Name: "repairs", Title: "Before or with the measure: repairs, in the order of work, over the best strategy of each building",
		Heads: []Head{{Title: "repair"}, {Title: "needed at", Number: true, Look: BarLook}, {Title: "to investigate at", Number: true, Look: BarLook}, {Title: "why"}, {Title: "caution", Long: true}},
		Note:  "The list for each building is in " + Written(e, run, WorkListCSV) + ".",
	}
	mends := repairSteps(e)
	for i, s := range e.StepsOf(^uint64(0)) {
		if c := run.Steps[i]; c.Do+c.Check > 0 && mends&(1<<i) != 0 {
			g.Rows = append(g.Rows, []any{s.Label, c.Do, c.Check, s.Reason, s.Caution})
		}
	}
	return g
}

// repairSteps is the set of steps that mend the wall.
func repairSteps(e *screen.Engine) (out uint64) {
	for i, s := range e.StepsOf(^uint64(0)) {
		if e.Config().Stages[s.Stage].Repair {
			out |= 1 << i
		}
	}
	return out
}

// toDo are those of a judgement's steps that are to be done or inspected: of what is
// not to be built only the repairs.
func toDo(mends uint64, j *screen.Judgement, steps uint64) uint64 {
	if j.Verdict >= screen.WarningOnly {
		return steps & mends
	}
	return steps
}

// people are figures of a judgement as tables for people show them: their heads, and
// what makes the cells. keys are picked from the list.
func people(e *screen.Engine, keys ...string) (heads []string, cells func(row *screen.Row, b *ingest.Building, j *screen.Judgement) []string) {
	u, strategies, mends := UnitsOf(e), e.Choices(), repairSteps(e)
	if e.Config().Run.Tier == config.TierAuto { // else all that have figures are of one method
		keys = append(keys, "judged by")
	}
	var picked []func(*line) string
	for _, f := range []struct {
		key, unit string
		of        func(*line) string
	}{
		{"strategy", "", func(l *line) string { return strategies[l.j.Strategy].Label }},
		{"verdict", "", func(l *line) string { return VerdictWords(e, l.j) }},
		{"readiness", "", func(l *line) string { return Ready(e, l.row).String() }},
		{"chance", "", func(l *line) string { return Chance(l.j) }},
		{"share of the limit", "", func(l *line) string { return Spread(l.j) }},
		{"judged by", "", func(l *line) string { return JudgedBy(l.j) }},
		{"insulation judged", Insulation[u].Unit, func(l *line) string { return Insulation[u].known(l.j.Thickness) }},
		{"insulation allowance", Insulation[u].Unit, func(l *line) string { return keptUpTo(u, l.j) }},
		{"saves", Heat[u].Unit, func(l *line) string { return Heat[u].Text(l.j.Saved) }},
		{"saves, whole wall", Energy[u].Unit, func(l *line) string { return Energy[u].given(l.j.Saved * l.b.Num[ingest.WallArea]) }},
		{"U before", Transmittance[u].Unit, func(l *line) string { return Transmittance[u].Text(l.j.UBefore) }},
		{"U after", Transmittance[u].Unit, func(l *line) string { return Transmittance[u].Text(l.j.UAfter) }},
		{"governed by", "", func(l *line) string { return Governed(l.b, l.j) }},
		{"before or with the measure", "", func(l *line) string { return fixes(e, mends, l.j) }},
		{"what blocks it", "", func(l *line) string { return reasons(e, l.b, l.j) }},
	} {
		if slices.Contains(keys, f.key) {
			heads, picked = append(heads, strings.TrimSuffix(f.key+", "+f.unit, ", ")), append(picked, f.of)
		}
	}
	return heads, func(row *screen.Row, b *ingest.Building, j *screen.Judgement) []string {
		return mapped(picked, func(of func(*line) string) string { return of(&line{row: row, b: b, j: j}) })
	}
}

// ranked is the ranking within a strategy, or of the best of each building for -1.
func ranked(e *screen.Engine, run *screen.Run, index, top int) (Table, error) {
	order, t := run.Ranks.Overall, Table{Name: "best", Title: "The best strategy for each building"}
	keys := []string{"verdict", "chance", "share of the limit", "insulation judged", "insulation allowance", "saves", "governed by"}
	if index >= 0 {
		s := &e.Choices()[index]
		order, keys = run.Ranks.Order[index], append(keys, "U before", "U after", "what blocks it")
		t.Name, t.Title, t.Note = "strategy_"+s.ID, "Ranking for: "+s.Label, StrategyCaution(s)
	} else {
		keys = append(keys, "strategy", "readiness", "before or with the measure")
		t.Note = "chance: that a limit is exceeded in the worst year of ten, over draws of what is not known; near: a threshold lies within the range. share of the limit: in the typical case, in brackets its low and high end (" +
			"tenth to ninetieth percentile of the draws, or favourable to adverse case of the steady tier). The saving is for the insulation judged, and is heat through the wall, not a fuel bill. " + AllowanceRule + " " +
			"What is to be investigated is judged as if it had been put right."
	}
	heads, cells := people(e, keys...)
	t.Columns = append([]string{"rank", "building"}, heads...)
	order = first(order, top)
	t.Title = title(t.Title, len(order), run.Ranks.Len())
	err := run.Each(order, func(_ uint32, row *screen.Row) error {
		j := &row.Judgements[0]
		if index >= 0 {
			j = row.Under(uint8(index))
		}
		t.Rows = append(t.Rows, append([]string{strconv.Itoa(len(t.Rows) + 1), row.Building.ID}, cells(row, &row.Building, j)...))
		return nil
	})
	return t, err
}

func title(what string, shown, all int) string {
	if shown < all {
		return fmt.Sprintf("%s (first %d of %d)", what, shown, all)
	}
	return fmt.Sprintf("%s (all %d)", what, all)
}

// keptUpTo prints the allowance, with a + where the whole range is allowed.
func keptUpTo(u Units, j *screen.Judgement) string {
	a := j.Allowance
	switch {
	case !a.Known || j.Excluded:
		return ""
	case a.Full:
		return Insulation[u].Text(a.Thickness) + "+"
	}
	return Insulation[u].Text(a.Thickness)
}

func fixes(e *screen.Engine, mends uint64, j *screen.Judgement) string {
	return strings.Join(append(mapped(e.StepsOf(toDo(mends, j, j.Do)), stepLabel),
		mapped(e.StepsOf(toDo(mends, j, j.Check)), func(s config.Step) string { return ToInvestigate(s, e.Finding) })...), "; ")
}

// reasons says why the verdict is not better: the gates that acted, and in what
// way limits are in doubt.
func reasons(e *screen.Engine, b *ingest.Building, j *screen.Judgement) string {
	if j.Excluded {
		return strings.Join(mapped(excluding(e, j), gateReason), "; ")
	}
	out := mapped(e.GatesOf(j.Gates), gateReason)
	if why := doubt(b, j); why != "" {
		out = append(out, why)
		if list := mapped(missing(b), Named); j.Chance < 0 && j.Typical <= 1 && len(list) > 0 {
			out = append(out, "not known: "+strings.Join(list, ", "))
		}
	}
	return strings.Join(out, "; ")
}
