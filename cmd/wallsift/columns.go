package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
)

// accepts says what a cell may hold.
func accepts(c *ingest.Column) string {
	number := func(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }
	switch c.Kind {
	case ingest.KindNumber:
		return strings.TrimSpace(fmt.Sprintf("%s to %s %s", number(c.Min), number(c.Max), c.SI))
	case ingest.KindCategory:
		return strings.Join(c.Words(), ", ")
	case ingest.KindDate:
		return "a date as 2019-04-30; under " + c.Name + "_dmy as 30/04/2019, under " + c.Name + "_mdy as 04/30/2019"
	case ingest.KindFacings:
		return "points of the compass or degrees, as N/E/S or 0 90 180; front_back; all"
	case ingest.KindStone:
		return "an id or label of: wallsift list materials"
	case ingest.KindZone:
		return "an id or label of: wallsift list zones, wallsift list stations"
	}
	return "text"
}

// headerIn picks the canonical header of a column in the user's units, and what one
// of its unit is in SI; 0 for a header without a unit.
func headerIn(c *ingest.Column, units string) (header string, factor float64) {
	if len(c.Units) == 0 || c.UnitOptional {
		return c.Name, 0
	}
	inchPound := slices.IndexFunc(c.Units, func(u ingest.Unit) bool { return slices.Contains([]string{"in", "ft", "ft2"}, u.Suffix) })
	pick := c.Units[0]
	if units == config.UnitsIP {
		pick = c.Units[max(inchPound, 0)]
	}
	return c.Name + "_" + pick.Suffix, pick.Factor
}

// withoutFact says what the screening does where a fact is not known, as far as
// no gate and no step of the configuration says it. What is not listed has all of it
// there. The texts follow what screen/world.go settles.
var withoutFact = map[string]string{
	"embedded_timber": "widens the spread: drawn from the priors, no timber being one of them; in the typical case joist ends",
	"outer_finish":    "widens the spread: drawn from the priors; in the typical case a bare face",
	"inner_finish":    "judged as the row for unknown of the table finishes; some finishes would do worse",
	"mortar":          "nothing changes: it is checked, not judged by",
	"orientation":     "widens the spread: the home stands anyhow to the rain, all its facings are judged",
	"height":          "taken as 2.8 m for each storey; without storeys drawn from 3 to 10 m, 6 m in the typical case",
	"storeys":         "serves only where height is not given",
	"wall_area":       "savings are given for each m2 only; saved_kwh_a and its money and carbon stay empty",
	"floor_area":      "nothing changes: it is checked, not judged by",
	"latitude":        "stays empty in the results",
	"longitude":       "stays empty in the results",
	"elevation":       "nothing changes: it is checked, not judged by",
	"a_w":             "widens the spread: over the whole range of the stone and of its finish",
	"heating_fuel":    "stays empty in the results",
	"last_survey":     "stays empty in the results",
	"group_key":       "no sub-totals",
	"home_id":         "the row is a home of its own",
	"exposed_facings": "no facing is ruled out: all four sides are judged",
	"timber_state":    "draws that would have ruined the wall as it stands count as often as such damage is met among standing homes",
	"inner_damp":      "as timber_state",
	"built_year":      "the wall is taken for an old one, whose standing is evidence",
}

// withoutColumn says what it costs that a fact is not known: from the texts
// above, from the gates that then ask for a survey, and from the steps that are
// then to be checked on site.
func withoutColumn(cfg *config.Config, c *ingest.Column) string {
	if c.Required && (c.KnownOnly || c.Kind != ingest.KindCategory) {
		return "the row is rejected"
	}
	var out []string
	if c.Name == "humidity_class" {
		d := cfg.Indoor.DefaultClass
		out = append(out, fmt.Sprintf("widens the spread: from class %d to class %d, %d as usual", d.Low, d.High, d.Typical))
		if cfg.Indoor.Method == config.IndoorEN15026 {
			out = []string{"widens the spread: normal occupancy, high in the adverse case"}
		}
	}
	if text := withoutFact[c.Name]; text != "" {
		out = append(out, text)
	}
	var surveyed []string // where a gate asks for the fact
	for _, s := range config.InOrder(cfg.Strategies) {
		if slices.ContainsFunc(s.Gates, func(gate string) bool {
			g := cfg.Gates[gate]
			return g.Effect == config.EffectSurvey && unknownHolds(g.When, c.Name)
		}) {
			surveyed = append(surveyed, s.Label)
		}
	}
	if len(surveyed) > 0 {
		out = append(out, "survey first for: "+strings.Join(surveyed, ", "))
	}
	for _, s := range cfg.StepsInOrder() {
		if unknownHolds(s.Check, c.Name) {
			out = append(out, "to investigate: "+s.Label)
		}
	}
	return strings.Join(out, "; ")
}

// unknownHolds says whether conditions are met by a field that is not known,
// whatever the other fields are.
func unknownHolds(list []config.Condition, field string) bool {
	return len(list) == 1 && list[0].Field == field && slices.Contains(list[0].In, "unknown")
}
