package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/screen"
)

// surveyFor lists a building's facts with what knowing each is worth.
func surveyFor(s *screen.Survey) string {
	var out []string
	for _, f := range s.Facts {
		if f.Field >= 0 {
			out = append(out, fmt.Sprintf("%s (%s)", f.Name(), fixed(100*float64(f.Gain), 1)))
		}
	}
	return strings.Join(out, "; ")
}

// surveyFacts is the table of facts over the portfolio.
func surveyFacts(run *screen.Run) Table {
	t := Table{
		Name: "survey_facts", Title: "What to find out, over the portfolio",
		Columns: []string{"fact", "buildings where it helps", "wrong choices it avoids, expected"},
		Note: fmt.Sprintf("As things are known, %s of %d choices are expected to be wrong: the strategy chosen exceeds a limit or may not be built, or the wall is left as it is where something would have worked.",
			fixed(run.Wrong, 1), run.Surveyed),
	}
	for _, f := range run.SurveyOrder() {
		t.Rows = append(t.Rows, []string{screen.Fact{Field: f.Field}.Name(), strconv.Itoa(f.Buildings), fixed(f.Gain, 1)})
	}
	return t
}

// surveyBuildings is the order of visits: buildings by what their best fact is
// worth.
func surveyBuildings(run *screen.Run, top int) (Table, error) {
	type visit struct {
		gain  float32
		cells []string
	}
	var visits []visit
	err := run.Each(run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		f := row.Survey.Facts[0]
		if f.Field < 0 {
			return nil
		}
		visits = append(visits, visit{f.Gain, []string{row.Building.ID, fixed(100*float64(row.Survey.Wrong), 0), f.Name(), fixed(100*float64(f.Gain), 1), surveyFor(&row.Survey)}})
		return nil
	})
	slices.SortStableFunc(visits, func(a, b visit) int { return cmp.Compare(b.gain, a.gain) })
	all := len(visits)
	if top > 0 && len(visits) > top {
		visits = visits[:top]
	}
	t := Table{
		Name: "survey_order", Title: title("Where a survey is worth most", len(visits), all),
		Columns: []string{"visit", "building", "chance of a wrong choice now, %", "find out first", "cuts it by, % points", "all facts that help"},
		Note:    "Facts are worth knowing where they change the choice: a fact that is unknown but changes nothing is not listed.",
	}
	for i, v := range visits {
		t.Rows = append(t.Rows, append([]string{strconv.Itoa(i + 1)}, v.cells...))
	}
	return t, err
}
