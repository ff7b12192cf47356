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
	s := b.open(notesName, 0, []head{
		{title: "Section", width: 28},
		{title: "Item", wrap: true, user: true, width: 40},
		{title: "Value", kind: report.Real, decimals: -1, width: 12},
		{title: "Unit", width: 14},
		{title: "What it says", wrap: true, user: true, width: 80},
		{title: "Source", wrap: true, user: true, width: 60},
	})
	m, u := b.in.Manifest, report.UnitsOf(b.in.Engine)
	add := func(section, item string, value any, unit, text, source string) {
		s.add(section, blank(item), value, blank(unit), blank(text), blank(source))
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
	say("Method", "Ranking rule", m.Ranking)
	say("Method", "Share of the limit", "Demand over limit; above 100 % it is exceeded. The governing measure is the one with the largest share. "+
		"Low and high are the tenth and the ninetieth percentile of the draws where a chance is given, stretched to hold the typical case; "+
		"in the steady tier they are the favourable and the adverse case, which take the uncertain values at the end of their range that is good or bad, all together.")
	say("Method", "Insulation allowance", report.AllowanceRule)
	say("Method", "Chance", "That a limit is exceeded in the worst year of ten, over draws of what is not known: the range that it lies in. near: a threshold of the verdict lies within the range, so that more facts may change it.")
	say("Method", "Investigate", report.InvestigateRule+" What is to be investigated is judged as if it had been put right.")
	say("Method", "Units and digits", unitsNote(u)+" Figures are rounded as in "+report.RankingCSV+"; "+report.RankingParquet+" has them unrounded.")
	say("Method", "Marks", "Verdicts are words. Their shade goes from light blue (suited) to dark brown (not suited) and their type differs too; shares above 100 % are bold; bars start at zero.")
	tiers := []indicator.Tier{indicator.Transient, indicator.Steady} // what a gate excludes has figures of the latter alone
	if m.Tier == config.TierSteady {
		tiers = tiers[1:]
	}
	for _, tier := range tiers {
		for id := range indicator.Count {
			info := id.In(tier)
			if info.Demand == "" { // not judged in this tier
				continue
			}
			text := info.Demand + "; limit: " + info.Limit + "."
			if info.Formula != "" {
				text += " " + info.Formula
			}
			_, unit := u.Measure(0, info.Unit)
			add("Damage measures, "+tier.String(), info.Label, nil, unit, text, info.Source)
		}
	}
	cfg := b.in.Engine.Config()
	for _, id := range slices.Sorted(maps.Keys(cfg.Limits)) {
		l := cfg.Limits[id]
		value, unit := l.Value, l.Unit
		if !strings.Contains(id, "_sd_") { // s_d values are in metres in every system
			value, unit = u.Measure(value, unit)
		}
		add("Limits", l.Label, value, unit, id, l.Source)
	}
	for _, st := range b.in.Engine.Strategies() {
		add("Strategies", st.Label, nil, "", st.ID+": "+st.Summary+" "+report.StrategyCaution(&st), st.Source)
	}
	for _, g := range b.in.Engine.GatesOf(^uint64(0)) {
		add("Rules (gates)", g.Label, nil, "", g.ID+": "+g.Reason, g.Source)
	}
	for _, step := range b.in.Engine.StepsOf(^uint64(0)) {
		add("Steps", step.Label, nil, "", step.ID+": "+step.Reason+". "+step.Caution, step.Source)
	}
	for v, text := range report.VerdictHelp {
		add("Verdicts", screen.Verdict(v).String(), nil, "", text, "")
	}
	for r, text := range report.ReadyHelp {
		add("Readiness", screen.Readiness(r).String(), nil, "", text, "")
	}
	for _, id := range slices.Sorted(maps.Keys(cfg.Glossary)) {
		add("Words", cfg.Glossary[id].Label, nil, "", cfg.Glossary[id].Meaning, cfg.Glossary[id].Source)
	}
	say("Verdicts", "without insulation", report.RepairsNote(b.in.Engine))
	for _, f := range report.Ranking(b.in.Engine, b.in.Run, true).Columns {
		text := "in " + report.RankingCSV + ": " + f.Name
		switch {
		case f.Help != "":
			text += "; " + f.Help
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
	return s.close()
}

// unitsNote says what the workbook's figures are in.
func unitsNote(u report.Units) string {
	if u != report.IP {
		return "Units are SI."
	}
	return "Units are inch-pound. Water (kg/m², A_w), s_d values and the texts of rules and formulas are SI, because limits are published so; " +
		report.RankingCSV + " and " + report.RankingParquet + " are SI, as the names of their columns say."
}

// blank leaves a cell empty where there is nothing to say.
func blank(s string) any {
	if s == "" {
		return nil
	}
	return s
}
