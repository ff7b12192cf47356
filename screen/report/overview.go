package report

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// maxGroups bounds the sub-totals printed.
const maxGroups = 30

// Overview makes the tables of a run: the portfolio at a glance, sub-totals,
// the best strategy for each building, the ranking within each strategy, and
// what to fix first. top bounds the rows of the long ones; 0 means all.
func Overview(e *screen.Engine, run *screen.Run, top int) ([]Table, error) {
	tables := []Table{glance(e, run)}
	if len(run.Groups) > 1 {
		tables = append(tables, groups(run))
	}
	best, err := bestTable(e, run, top)
	if err != nil {
		return nil, err
	}
	tables = append(tables, best)
	visits, err := surveyBuildings(e, run, top)
	if err != nil {
		return nil, err
	}
	tables = append(tables, visits)
	if run.Surveyed > 0 {
		tables = append(tables, surveyFacts(e, run))
	}
	tables = append(tables, fixFirst(e, run))
	for i, s := range e.Strategies() {
		t, err := strategyTable(e, run, uint8(i), s, top)
		if err != nil {
			return nil, err
		}
		tables = append(tables, t)
	}
	return tables, nil
}

func glance(e *screen.Engine, run *screen.Run) Table {
	u := unitsOf(e)
	t := Table{
		Name: "glance", Title: "The portfolio at a glance: " + Counted(run.Counts.Accepted, "building"),
		Columns: []string{"strategy", "suited", "after repairs", "survey first", "not suited", "best for", "mean saving where suited, " + u.heat.label},
	}
	for i, s := range e.Strategies() {
		v := run.Verdicts[i]
		mean := ""
		if n := v[screen.Suited] + v[screen.SuitedAfterRepairs]; n > 0 {
			mean = u.heat.print(run.Saved[i] / float64(n))
		}
		t.Rows = append(t.Rows, []string{s.Label, strconv.Itoa(v[0]), strconv.Itoa(v[1]), strconv.Itoa(v[2]), strconv.Itoa(v[3]), strconv.Itoa(run.Best[i]), mean})
	}
	t.Note = "best for: buildings that rank this strategy first. " + Together(e, run) + " " + unitsOf(e).prose(screen.RankingRule)
	if note := RepairsNote(e); note != "" {
		t.Note += " " + note
	}
	return t
}

func groups(run *screen.Run) Table {
	t := Table{
		Name: "groups", Title: "Best strategy by group",
		Columns: []string{"group", "buildings", "suited", "after repairs", "survey first", "not suited"},
	}
	keys := slices.Sorted(maps.Keys(run.Groups))
	for _, key := range keys[:min(len(keys), maxGroups)] {
		v := run.Groups[key]
		t.Rows = append(t.Rows, []string{key, strconv.Itoa(v[0] + v[1] + v[2] + v[3]), strconv.Itoa(v[0]), strconv.Itoa(v[1]), strconv.Itoa(v[2]), strconv.Itoa(v[3])})
	}
	if len(keys) > maxGroups {
		more := strconv.Itoa(len(keys) - maxGroups)
		if run.GroupsCut {
			more = "Many"
		}
		t.Note = fmt.Sprintf("%s more groups are in %s.", more, RankingCSV)
		if more == "1" {
			t.Note = fmt.Sprintf("1 more group is in %s.", RankingCSV)
		}
	}
	return t
}

func first(order []uint32, top int) []uint32 {
	if top > 0 && len(order) > top {
		return order[:top]
	}
	return order
}

func bestTable(e *screen.Engine, run *screen.Run, top int) (Table, error) {
	strategies, u := e.Strategies(), unitsOf(e)
	order := first(run.Ranks.Overall, top)
	t := Table{
		Name: "best", Title: title("The best strategy for each building", len(order), run.Ranks.Len()),
		Columns: []string{"place", "building", "strategy", "verdict", "chance", "utilisation", "with " + u.insulation.label, "takes " + u.insulation.label, "saves " + u.heat.label, "governed by", "fix first, check first"},
		Note: "chance: that a limit is exceeded, over what is not known, where it was sampled; ± is from sampling alone, the error of the response surface comes on top (" + ManifestJSON + "). utilisation: demand as a share of its limit, 1 is at the limit, typical case (low to high: tenth to ninetieth percentile of the samples, stretched to hold the typical case, or favourable to adverse case of the steady tier; 4+ and 99+: it was cut there). with: insulation as judged, which gives the saving. takes: thickest insulation of the range that keeps the limits in the typical case; +: the whole range of the strategy, thicker was not tried. " +
			"What is to be checked is judged as if it had been put right.",
	}
	err := run.Each(order, func(_ uint32, row *screen.Row) error {
		j := &row.Judgements[0]
		t.Rows = append(t.Rows, []string{
			strconv.Itoa(len(t.Rows) + 1), row.Building.ID, strategies[j.Strategy].Label, j.Verdict.String(),
			Chance(j), Spread(j), with(u, j), takes(u, j), u.heat.print(j.Saved), governed(j), fixes(e, j),
		})
		return nil
	})
	return t, err
}

func strategyTable(e *screen.Engine, run *screen.Run, index uint8, s config.Strategy, top int) (Table, error) {
	order, u := first(run.Ranks.Order[index], top), unitsOf(e)
	t := Table{
		Name: "strategy_" + s.ID, Title: title("Ranking for: "+s.Label, len(order), run.Ranks.Len()),
		Columns: []string{"rank", "building", "verdict", "chance", "utilisation", "with " + u.insulation.label, "takes " + u.insulation.label, "saves " + u.heat.label, u.uHead("U before"), u.uHead("U after"), "governed by", "what holds it back"},
		Note:    s.Warning,
	}
	err := run.Each(order, func(_ uint32, row *screen.Row) error {
		for i := range row.Judgements {
			j := &row.Judgements[i]
			if j.Strategy != index {
				continue
			}
			t.Rows = append(t.Rows, []string{
				strconv.Itoa(len(t.Rows) + 1), row.Building.ID, j.Verdict.String(), Chance(j), Spread(j), with(u, j), takes(u, j), u.heat.print(j.Saved),
				u.transmittance.print(j.UBefore), u.transmittance.print(j.UAfter), governed(j), reasons(e, &row.Building, j),
			})
		}
		return nil
	})
	return t, err
}

func fixFirst(e *screen.Engine, run *screen.Run) Table {
	t := Table{
		Name: "fix_first", Title: "What to fix first, over the best strategy of each building, in the order of work",
		Columns: []string{"step", "needed at", "to check at", "why"},
		Note:    "The list for each building is in the columns fix_first and check_on_site of " + RankingCSV + ".",
	}
	for i, s := range e.StepsOf(^uint64(0)) {
		if c := run.Steps[i]; c.Do+c.Check > 0 {
			t.Rows = append(t.Rows, []string{s.Label, strconv.Itoa(c.Do), strconv.Itoa(c.Check), s.Reason})
		}
	}
	return t
}

func title(what string, shown, all int) string {
	if shown < all {
		return fmt.Sprintf("%s (first %d of %d)", what, shown, all)
	}
	return fmt.Sprintf("%s (all %d)", what, all)
}

func fixed(f float64, decimals int) string {
	s := strconv.FormatFloat(f, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// with prints the thickness of insulation that is judged, nothing without one.
func with(u *units, j *screen.Judgement) string {
	if j.Thickness == 0 {
		return ""
	}
	return u.insulation.print(j.Thickness)
}

// takes prints the allowance, with a + where the whole range is allowed.
func takes(u *units, j *screen.Judgement) string {
	a := j.Allowance
	switch {
	case !a.Known || j.Excluded:
		return ""
	case a.Full:
		return u.insulation.print(a.Thickness) + "+"
	}
	return u.insulation.print(a.Thickness)
}

func governed(j *screen.Judgement) string {
	if !j.HasGovern {
		return "nothing"
	}
	s := j.Governing.Info().Label
	if m := month(j.Month); m != "" {
		s += ", " + m
	}
	return s
}

func fixes(e *screen.Engine, j *screen.Judgement) string {
	var out []string
	for _, s := range e.StepsOf(j.Do) {
		out = append(out, s.Label)
	}
	for _, s := range e.StepsOf(j.Check) {
		out = append(out, "check: "+s.Label)
	}
	return strings.Join(out, "; ")
}

// reasons says why the verdict is not better: the gates that acted, and the
// facts whose absence keeps limits in doubt.
func reasons(e *screen.Engine, b *ingest.Building, j *screen.Judgement) string {
	var out []string
	for _, g := range e.GatesOf(j.Gates) {
		out = append(out, g.Reason)
	}
	switch {
	case j.Failed:
		out = append(out, "the hourly model did not converge, judge by hand")
	case j.Chance >= 0:
		if j.Chance > 0 {
			out = append(out, fmt.Sprintf("chance %s, most by %s", percent(j.Chance), j.GoverningHigh.Info().Label))
		}
	case j.Low > 1 && j.Tier == indicator.Transient:
		out = append(out, "over its limit in the typical case")
	case j.Low > 1:
		out = append(out, "over its limit even in the favourable case")
	case j.High > 1:
		why := j.GoverningHigh.Info().Label + " over its limit in the adverse case"
		if missing := Missing(b); len(missing) > 0 {
			why += ", not known: " + strings.Join(missing, ", ")
		}
		out = append(out, why)
	}
	return strings.Join(out, "; ")
}

// Missing lists the facts that widen the spread of a building because the
// inventory does not give them.
func Missing(b *ingest.Building) []string {
	var out []string
	for _, c := range []ingest.Category{ingest.HumidityClass, ingest.EmbeddedTimber, ingest.OuterFinish} {
		if b.Cat[c] == 0 {
			out = append(out, c.Name())
		}
	}
	for _, n := range []ingest.Number{ingest.Orientation, ingest.WaterAbsorption} {
		if b.Num[n] != b.Num[n] { // NaN
			out = append(out, n.Name())
		}
	}
	return out
}
