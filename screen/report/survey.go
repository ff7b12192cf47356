package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"wallsift/screen"
)

// Points prints a share in percent points as survey.csv does.
func Points(share float32) string { return fixed(math.Round(1000*float64(share))/10, 1) }

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
		Note: fmt.Sprintf("As things are known, %s of %d choices are expected to be wrong: the strategy chosen exceeds a limit or may not be built, or the wall is left as it is where something would have worked.",
			fixed(run.Wrong, 1), run.Surveyed),
	}
	u := UnitsOf(e)
	for _, f := range run.SurveyOrder() {
		by := e.Finding(screen.Fact{Field: f.Field})
		t.Rows = append(t.Rows, []string{by.Label, strconv.Itoa(f.Buildings), fixed(f.Gain, 1), FoundOut(&by), u.Prose(by.How)})
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
		by, need := v.e.Finding(best), "desk only"
		if v.onSite(l.s) {
			need = "visit"
		}
		t.Rows = append(t.Rows, []string{strconv.Itoa(l.place), l.b.ID, need, fixed(100*float64(l.s.Wrong), 0), by.Label, FoundOut(&by), Points(best.Gain), strings.Join(helps, "; ")})
		return nil
	})
	return t, err
}
