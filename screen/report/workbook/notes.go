package workbook

import (
	"maps"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report"
)

const notesName = "Notes"

// notesSheet says how the results came about and what they may be used for.
func (b *book) notesSheet() error {
	s, err := b.open(notesName, 0, []head{
		{title: "Section", width: 28},
		{title: "Item", wrap: true, user: true, width: 40},
		{title: "Value", kind: report.Real, decimals: -1, width: 12},
		{title: "Unit", width: 14},
		{title: "What it says", wrap: true, user: true, width: 80},
		{title: "Source", wrap: true, user: true, width: 60},
	})
	if err != nil {
		return err
	}
	m := b.in.Manifest
	var failed error
	add := func(section, item string, value any, unit, text, source string) {
		if failed == nil {
			failed = s.add(section, blank(item), value, blank(unit), blank(text), blank(source))
		}
	}
	say := func(section, item, text string) {
		if text != "" {
			add(section, item, nil, "", text, "")
		}
	}
	say("Caution", "Use", m.Caution)
	say("Caution", "Tier "+m.Tier, m.TierCaution)
	for _, text := range b.notes {
		say("Left out of this workbook", "", text)
	}
	if len(b.notes) == 0 {
		say("Left out of this workbook", "", "Nothing.")
	}
	for _, text := range m.Notes {
		say("Notes on the inventory", "", text)
	}
	say("Method", "Ranking rule", b.units.Prose(m.Ranking))
	say("Method", "Utilisation", "Demand as a share of its limit; 1 is at the limit. The governing measure is the one with the largest utilisation. "+
		"Low and high are the tenth and the ninetieth percentile of the samples where a chance is given, stretched to hold the typical case; "+
		"in the steady tier they are the favourable and the adverse case, which take the uncertain values at the end of their range that is good or bad, all together. "+
		"99+ marks figures that were cut there; low and high of draws end at 4.")
	say("Method", "Chance", "That a limit is exceeded, over what is not known. Its ± is from sampling alone; the error of the response surface comes on top, see "+report.ManifestJSON+".")
	say("Method", "What is to be checked", "It is judged as if it had been put right.")
	say("Method", "Units and digits", b.unitsNote()+" Figures are rounded as in "+report.RankingCSV+"; "+report.RankingParquet+" has them unrounded.")
	say("Method", "Marks", "Verdicts are words. Their shade goes from light blue (suited) to dark brown (not suited) and their type differs too; utilisations above 1 are bold; bars start at zero.")
	for _, tier := range tiers(m.Tier) {
		for id := range indicator.Count {
			info := id.In(tier)
			if info.Demand == "" { // not judged in this tier
				continue
			}
			text := info.Demand + "; limit: " + info.Limit + "."
			if info.Formula != "" {
				text += " " + info.Formula
			}
			_, unit := b.units.Measure(0, info.Unit)
			add("Damage measures, "+tier.String(), info.Label, nil, unit, b.units.Prose(text), info.Source)
		}
	}
	limits := b.in.Config.Limits
	for _, id := range slices.Sorted(maps.Keys(limits)) {
		l := limits[id]
		value, unit := l.Value, l.Unit
		if !strings.Contains(id, "_sd_") { // s_d values are in metres in every system
			value, unit = b.units.Measure(value, unit)
		}
		add("Limits", b.units.Prose(l.Label), value, unit, id, l.Source)
	}
	for _, st := range b.in.Engine.Strategies() {
		text := st.Summary
		if st.Warning != "" {
			text += " Warning: " + st.Warning
		}
		add("Strategies", st.Label, nil, "", st.ID+": "+b.units.Prose(text), st.Source)
	}
	for _, g := range b.in.Engine.GatesOf(^uint64(0)) {
		add("Gates", g.Label, nil, "", g.ID+": "+b.units.Prose(g.Reason), g.Source)
	}
	for _, step := range b.in.Engine.StepsOf(^uint64(0)) {
		add("Steps", step.Label, nil, "", step.ID+": "+b.units.Prose(step.Reason), step.Source)
	}
	for v := range screen.NumVerdicts {
		add("Verdicts", v.String(), nil, "", verdictHelp[v], "")
	}
	say("Verdicts", "without insulation", report.RepairsNote(b.in.Engine))
	for _, f := range report.NewReaderForPeople(b.in.Engine, b.in.Run).Fields() {
		text := "in " + report.RankingCSV + ": " + f.Name
		switch {
		case f.Help != "":
			text += "; " + b.units.Prose(f.Help)
		case f.Extra:
			text += "; rides through from the inventory untouched"
		}
		add("Columns", f.Label, nil, f.Unit, text, "")
	}
	for _, x := range m.Inventories {
		text := "read from the standard input or not kept"
		if x.SHA256 != "" {
			text = "SHA-256 " + x.SHA256
		}
		say("Input files", x.Name, text)
	}
	for _, x := range m.Sources {
		say("Configuration", x.String(), "read, weakest first")
	}
	say("Configuration", "Fingerprint", "SHA-256 "+m.Configuration)
	say("Version", "wallsift", m.Version)
	if failed != nil {
		return failed
	}
	if err := s.closeTable(); err != nil {
		return err
	}
	return s.close()
}

// unitsNote says what the workbook's figures are in.
func (b *book) unitsNote() string {
	if !b.units.IP {
		return "Units are SI."
	}
	return "Units are inch-pound. Water (kg/m², A_w), s_d values and formulas are SI, because limits are published so; " +
		report.RankingCSV + " and " + report.RankingParquet + " are SI, as the names of their columns say."
}

var verdictHelp = [screen.NumVerdicts]string{
	screen.Suited:             "the chance that a limit is exceeded is low (steady tier: every measure keeps its limit in the adverse case), and no gate holds",
	screen.SuitedAfterRepairs: "the same, once the work under Fix first is done",
	screen.SurveyFirst:        "the chance is neither low nor high (steady tier: a measure passes its limit in the adverse case only), or a gate asks for a survey",
	screen.WarningOnly:        "shown as a warning, never advice, whatever the figures say",
	screen.NotSuited:          "a gate excludes it, or the chance that a limit is exceeded is too high (steady tier: a limit is passed even in the favourable case)",
}

// tiers lists the tiers that judged in a run of a tier. Even a transient run shows
// the steady tier's figures for what a gate excludes.
func tiers(run string) []indicator.Tier {
	if run == config.TierSteady {
		return []indicator.Tier{indicator.Steady}
	}
	return []indicator.Tier{indicator.Transient, indicator.Steady}
}

// blank leaves a cell empty where there is nothing to say.
func blank(s string) any {
	if s == "" {
		return nil
	}
	return s
}
