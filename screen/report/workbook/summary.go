package workbook

import (
	"maps"
	"math"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report"
)

// verdictHeads is one column of counts for each verdict.
func verdictHeads() (out []head) {
	for v := range screen.NumVerdicts {
		out = append(out, head{title: strings.ToUpper(v.String()[:1]) + v.String()[1:] + ", buildings", kind: report.Whole, look: report.BarLook, width: 14})
	}
	return out
}

// overview counts buildings by strategy and verdict.
func (b *book) overview() error {
	run, heat := b.in.Run, b.units.Heat
	heads := append([]head{{title: "Strategy", width: 44}}, verdictHeads()...)
	heads = append(heads,
		head{title: "Ranked first, buildings", kind: report.Whole, look: report.BarLook, width: 14},
		head{title: "Mean saving where suited, with or without repairs, " + heat.Unit(), kind: report.Real, decimals: 1, width: 18})
	s, err := b.open("Overview", 1, heads)
	if err != nil {
		return err
	}
	repairs := ""
	for i, st := range b.in.Engine.Strategies() {
		row := []any{st.Label}
		if st.Side == config.SideNone && run.Verdicts[i][screen.NotSuited] > 0 {
			repairs = report.RepairsNote(b.in.Engine)
		}
		for _, n := range run.Verdicts[i] {
			row = append(row, n)
		}
		var mean any
		if n := run.Verdicts[i][screen.Suited] + run.Verdicts[i][screen.SuitedAfterRepairs]; n > 0 {
			mean = math.Round(10*heat.Of(run.Saved[i]/float64(n))) / 10
		}
		if err := s.add(append(row, run.Best[i], mean)...); err != nil {
			return err
		}
	}
	row := []any{"(the best strategy of each building)"}
	for _, n := range run.BestBy {
		row = append(row, n)
	}
	if err := s.add(append(row, run.Counts.Accepted, nil)...); err != nil {
		return err
	}
	if err := s.closeTable(); err != nil {
		return err
	}
	for _, text := range []string{
		were(run.Counts.Accepted, "building") + " screened; " + were(run.Counts.Rejected, "row") + " rejected, see the sheet " + rejectsName + ".",
		repairs,
		b.in.Manifest.Caution,
		b.in.Manifest.TierCaution,
		"How to read the sheets, the limits with their sources and what was left out: see the sheet " + notesName + ".",
	} {
		if text == "" {
			continue
		}
		if err := s.below(text, len(heads)); err != nil {
			return err
		}
	}
	return s.close()
}

func were(n int, thing string) string {
	if n == 1 {
		return "1 " + thing + " was"
	}
	return report.Counted(n, thing) + " were"
}

// groups counts buildings by group and the verdict of their best strategy. An
// inventory without groups gets no such sheet.
func (b *book) groups() error {
	run := b.in.Run
	if len(run.Groups) < 2 {
		return nil
	}
	s, err := b.open("Groups", 1, append([]head{{title: "Group", user: true, width: 28}, {title: "Buildings", kind: report.Whole, width: 12}}, verdictHeads()...))
	if err != nil {
		return err
	}
	for _, key := range slices.Sorted(maps.Keys(run.Groups)) {
		sum := 0
		row := []any{key, 0}
		for _, n := range run.Groups[key] {
			sum += n
			row = append(row, n)
		}
		row[1] = sum
		if err := s.add(row...); err != nil {
			return err
		}
	}
	if run.GroupsCut {
		b.cut("Sheet Groups: there are more groups than the %d shown; each building's own is in %s.", len(run.Groups), report.RankingCSV)
	}
	if err := s.closeTable(); err != nil {
		return err
	}
	return s.close()
}

// fixFirst counts the preparatory work over the best strategies, in the order of
// work on site.
func (b *book) fixFirst() error {
	s, err := b.open("Fix first", 1, []head{
		{title: "Step", width: 64},
		{title: "Needed, buildings", kind: report.Whole, look: report.BarLook, width: 14},
		{title: "To be checked, buildings", kind: report.Whole, look: report.BarLook, width: 14},
		{title: "Why", wrap: true, width: 70},
		{title: "Source", wrap: true, width: 50},
	})
	if err != nil {
		return err
	}
	for i, step := range b.in.Engine.StepsOf(^uint64(0)) {
		if n := b.in.Run.Steps[i]; n.Do+n.Check > 0 {
			if err := s.add(step.Label, n.Do, n.Check, b.units.Prose(step.Reason), step.Source); err != nil {
				return err
			}
		}
	}
	if err := s.closeTable(); err != nil {
		return err
	}
	if err := s.below("Over the best strategy of each building. The list of each building is in the columns Fix first and Check on site of the sheet "+rankingName+".", 4); err != nil {
		return err
	}
	return s.close()
}
