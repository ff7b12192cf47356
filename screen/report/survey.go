package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"wallsift/screen"
)

// permille is a share as the survey order counts it: what is printed alike is
// alike, and printed figures add up.
func permille(share float32) int { return int(math.Round(1000 * float64(share))) }

// points is a share in percent points, to one decimal.
func points(share float32) float64 { return float64(permille(share)) / 10 }

// Points prints a share in percent points as survey.csv does.
func Points(share float32) string { return fixed(points(share), 1) }

// SurveyWorth orders surveys at which a fact helps, the greatest first: by what
// the best single fact cuts, then by the chance of a wrong choice now.
func SurveyWorth(s *screen.Survey) int32 {
	return int32(permille(s.Facts[0].Gain)<<10 | permille(s.Wrong)) // both at most 1000
}

// What has to be done to find out what helps at a building.
const (
	DeskOnly  = "desk only"  // nobody has to go there
	DeskFirst = "desk first" // one look-up leaves nothing to go for
	GoThere   = "visit"
)

// VisitNeeded says which of DeskOnly, DeskFirst and GoThere a survey is at which
// a fact helps.
func VisitNeeded(e *screen.Engine, s *screen.Survey) string {
	left, ok := afterDesk(e, s)
	switch {
	case !slices.ContainsFunc(s.Facts[:], func(f screen.Fact) bool {
		by := e.Finding(f)
		return f.Field >= 0 && by.OnSite()
	}):
		return DeskOnly
	case ok && left == 0:
		return DeskFirst
	}
	return GoThere
}

// afterDesk is the chance of a wrong choice in per mille once the fact that cuts
// it most of those found out at the desk is known; false where there is none.
func afterDesk(e *screen.Engine, s *screen.Survey) (left int, ok bool) {
	for _, f := range s.Facts { // most worth first
		if by := e.Finding(f); f.Field >= 0 && !by.OnSite() {
			return max(0, permille(s.Wrong)-permille(f.Gain)), true
		}
	}
	return 0, false
}

// surveyFor lists a building's facts by id with what knowing each is worth.
func surveyFor(s *screen.Survey) string {
	var out []string
	for _, f := range s.Facts {
		if f.Field >= 0 {
			out = append(out, fmt.Sprintf("%s (%s)", f.Name(), Points(f.Gain)))
		}
	}
	return strings.Join(out, "; ")
}

// surveyFacts is the table of facts over the portfolio.
func surveyFacts(e *screen.Engine, run *screen.Run) Table {
	t := Table{
		Name: "survey_facts", Title: "What to find out, over the portfolio",
		Columns: []string{"fact", "buildings where it helps", "wrong choices it avoids, expected", "where", "how"},
		Note: fmt.Sprintf("As things are known, the choice is expected to be wrong at %s of %s. A strategy that insulates is wrong where it exceeds a limit or may not be built; leaving the wall as it is (repairs alone) is wrong only where a strategy that insulates would have worked.",
			fixed(run.Wrong, 1), Counted(run.Surveyed, "building")),
	}
	u := unitsOf(e)
	for _, f := range run.SurveyOrder() {
		by := e.Finding(screen.Fact{Field: f.Field})
		t.Rows = append(t.Rows, []string{by.Label, strconv.Itoa(f.Buildings), fixed(f.Gain, 1), FoundOut(&by), u.prose(by.How)})
	}
	return t
}

// surveyBuildings is the survey order, to top buildings where top is above 0.
func surveyBuildings(e *screen.Engine, run *screen.Run, top int) (Table, error) {
	return surveyOrder(&Visits{e: e, run: run, each: run.Each}, top)
}

func surveyOrder(v *Visits, top int) (Table, error) {
	t := Table{
		Name:    "survey_order",
		Columns: []string{"visit", "building", "visit or desk", "chance of a wrong choice now, %", "find out first", "where", "cuts it by, % points", "what else helps"},
	}
	if err := v.sort(); err != nil {
		return t, err
	}
	shown := first(v.order, top)
	t.Title, t.Note = title("Where a survey is worth most", len(shown), len(v.order)), v.Note()
	if v.run.Surveyed == 0 {
		t.Title = "Where a survey is worth most: not sampled"
	}
	err := v.lines(shown, func(l *line) error {
		var helps []string
		for _, f := range l.s.Facts[1:] {
			if f.Field >= 0 {
				by := v.e.Finding(f)
				helps = append(helps, fmt.Sprintf("%s, %s (%s)", by.Label, FoundOut(&by), Points(f.Gain)))
			}
		}
		best := l.s.Facts[0]
		by := v.e.Finding(best)
		t.Rows = append(t.Rows, []string{strconv.Itoa(l.place), l.b.ID, VisitNeeded(v.e, l.s), fixed(100*float64(l.s.Wrong), 0), by.Label, FoundOut(&by), Points(best.Gain), strings.Join(helps, "; ")})
		return nil
	})
	return t, err
}
