package report

import (
	"cmp"
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

// permille is a share as the survey order counts it: what is printed alike is
// alike, and printed figures add up.
func permille(share float32) int { return int(math.Round(1000 * float64(share))) }

// points is a share in percent points, to one decimal.
func points(share float32) float64 { return float64(permille(share)) / 10 }

// Points prints a share in percent points as survey.csv does.
func Points(share float32) string { return fixed(points(share), 1) }

// surveyWorth orders surveys at which a fact helps, the greatest first: by what
// the best single fact is worth, then by the chance of a wrong choice now.
func surveyWorth(s *screen.Survey) int32 {
	return int32(permille(s.Facts[0].Worth())<<10 | permille(s.Wrong)) // at most 2000 and 1000
}

// What has to be done to investigate what helps at a building.
const (
	RecordsOnly  = "records only"  // nobody has to go there
	RecordsFirst = "records first" // one look-up leaves next to nothing to go for
	GoThere      = "visit"
)

// VisitNeeded says which of RecordsOnly, RecordsFirst and GoThere a survey is at
// which a fact helps.
func VisitNeeded(e *screen.Engine, s *screen.Survey) string {
	left, ok := afterRecords(e, s)
	switch {
	case !slices.ContainsFunc(s.Facts, func(f screen.Fact) bool { return e.Finding(f.Name()).OnSite() }):
		return RecordsOnly
	case ok && left <= permille(float32(e.Config().Survey.SpareBelow)):
		return RecordsFirst
	}
	return GoThere
}

// afterRecords is what is left open, in per mille, once the fact worth most of those
// found in records is known: the chance that the verdict stays survey first, or where
// it is clear that the choice is wrong. It is false where there is no such fact.
func afterRecords(e *screen.Engine, s *screen.Survey) (left int, ok bool) {
	for _, f := range s.Facts {
		switch {
		case e.Finding(f.Name()).OnSite():
		case s.Unclear:
			return 1000 - permille(f.Clears), true
		default:
			return max(0, permille(s.Wrong)-permille(f.Gain)), true
		}
	}
	return 0, false
}

// surveyDangers are those of finding out: common practice, no source.
func surveyDangers(e *screen.Engine, s *screen.Survey) string {
	if slices.ContainsFunc(s.Facts, func(f screen.Fact) bool { return e.Finding(f.Name()).Way == config.WayOpen }) {
		return "Opening up is work: what bears load is propped first, coats may hold asbestos and old paint lead, cables and pipes may be hidden, and a protected home needs consent."
	}
	return ""
}

// The words for finding a fact out; the glossary has them too, and the words that no
// output uses in their place.
const (
	Investigate = "investigate" // any of the others
	LookUp      = "look up"
	Inspect     = "inspect"
	Test        = "test"
)

// InvestigateRule explains them, and is printed once in every output.
const InvestigateRule = "To investigate a fact is to look it up (in records, maps and pictures: nobody goes there), to inspect it (go there and see; nothing is opened) " +
	"or to test it (measure, or open the building up). A survey is all of that at one building."

// WayWord is what somebody does to find a fact out.
func WayWord(f config.Finding) string {
	return cmp.Or(map[string]string{config.WayDesk: LookUp, config.WayLook: Inspect, config.WayOpen: Test, config.WayMeasure: Test}[f.Way], Investigate)
}

// ToInvestigate says what has to be known before a step, and by which way: the first
// fact that asks for it. A step that is nothing else says so by its label.
func ToInvestigate(s config.Step, by func(field string) config.Finding) string {
	if len(s.When) == 0 || len(s.Check) == 0 {
		return s.Label
	}
	f := by(s.Check[0].Field)
	return Capital(WayWord(f)) + ": " + cmp.Or(f.Label, Named(s.Check[0].Field))
}

// surveyFor lists a building's facts with what knowing each is worth.
func surveyFor(s *screen.Survey, name func(string) string) string {
	return strings.Join(mapped(s.Facts, func(f screen.Fact) string { return name(f.Name()) + " (" + worth(s, f) + ")" }), "; ")
}

// worth says what knowing a fact does: in words, for one cell.
func worth(s *screen.Survey, f screen.Fact) string {
	cuts := "cuts wrong choices by " + Points(f.Gain) + " points"
	switch {
	case permille(f.Clears) == 0:
		return cuts
	case permille(f.Gain) == 0:
		return "settles the verdict " + percent(float64(f.Clears))
	}
	return "settles the verdict " + percent(float64(f.Clears)) + ", " + cuts
}

// surveyFacts is the table of facts over the portfolio.
func surveyFacts(e *screen.Engine, run *screen.Run) Grid {
	g := Grid{
		Name: "facts", Title: "What to investigate, over the portfolio",
		Heads: []Head{{Title: "fact"}, {Title: "buildings where it helps", Number: true, Look: BarLook}, {Title: "verdicts it settles, expected", Number: true, Decimals: 1}, {Title: "wrong choices it avoids, expected", Number: true, Decimals: 1}, {Title: "way"}, {Title: "how"}},
		Note: fmt.Sprintf("As things are known, the choice is expected to be wrong at %s of %s. A strategy that insulates is wrong where it exceeds a limit or may not be built; leaving the wall as it is (repairs alone) is wrong only where a strategy that insulates would have worked. What is judged as if it had been put right, such as gutters, ground and salts, is not in these figures: it stands in the work list of each building.",
			fixed(run.Wrong, 1), Counted(run.Surveyed, "building")),
	}
	for _, f := range run.SurveyOrder() {
		by := e.Finding(screen.Fact{Field: f.Field}.Name())
		g.Rows = append(g.Rows, []any{by.Label, f.Buildings, f.Clears, f.Gain, WayWord(by), by.How})
	}
	return g
}

// surveyOrder prints the survey order, to top buildings where top is above 0.
func surveyOrder(v *Visits, top int) (Table, error) {
	t := Table{
		Name:    "survey_order",
		Columns: []string{"visit", "building", "visit or records", "chance of a wrong choice now", "investigate first", "way", "what that does", "what else helps"},
	}
	shown := first(v.order, top)
	t.Title, t.Note = title("Where a survey is worth most", len(shown), len(v.order)), v.note()
	if v.run.Surveyed == 0 {
		t.Title = "Where a survey is worth most: not drawn"
	}
	err := v.lines(shown, func(l *line) error {
		helps := mapped(l.s.Facts[1:], func(f screen.Fact) string {
			by := v.e.Finding(f.Name())
			return fmt.Sprintf("%s, %s (%s)", by.Label, WayWord(by), worth(l.s, f))
		})
		best := l.s.Facts[0]
		by := v.e.Finding(best.Name())
		t.Rows = append(t.Rows, []string{strconv.Itoa(l.place), l.b.ID, VisitNeeded(v.e, l.s), percent(float64(l.s.Wrong)), by.Label, WayWord(by), worth(l.s, best), strings.Join(helps, "; ")})
		return nil
	})
	return t, err
}

// Each streams rows in an order; it is screen.Run.Each outside of tests.
type Each func(order []uint32, f func(building uint32, row *screen.Row) error) error

// answers says, by field, where in the inventory what was found out is entered
// and what is taken there. A header of the user's own is named where it fills
// that field alone.
func answers(e *screen.Engine) map[string]string {
	own, headers := map[string]string{}, e.InputOptions().Columns
	for _, from := range slices.Sorted(maps.Keys(headers)) {
		if to := headers[from]; len(to) == 1 {
			own[to[0]] = from + " (" + to[0] + ")"
		}
	}
	out := map[string]string{}
	for _, c := range ingest.Columns() {
		where, takes := either(c.Headers()), c.Help
		for _, h := range c.Headers() {
			if own[h] != "" {
				where = own[h]
			}
		}
		if c.Kind == ingest.KindCategory {
			takes = either(c.Levels[1:])
		}
		out[c.Name] = where + ": " + takes
	}
	return out
}

func either(words []string) string {
	if n := len(words) - 1; n > 0 {
		return strings.Join(words[:n], ", ") + " or " + words[n]
	}
	return strings.Join(words, "")
}
