package page

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// staticSurveys is how many buildings the plain survey order holds.
const staticSurveys = 20

// visit is a building of the survey order.
type visit struct {
	ID      string
	Address string
	Wrong   string
	Facts   []pair // with where it is found out, and what it is worth
	worth   int32
}

// bookFact says how a fact is found out.
type bookFact struct {
	Label string `json:"label"`
	Where string `json:"where"`
	How   string `json:"how"`
	Desk  bool   `json:"desk"` // nobody has to go there
}

// findings lists how facts are found out, by screen.Fact.Field.
func (w *writer) findings() (out []bookFact) {
	for field := range int16(ingest.NumCategories) + int16(ingest.NumNumbers) {
		by := w.in.Engine.Finding(screen.Fact{Field: field})
		out = append(out, bookFact{by.Label, report.FoundOut(&by), w.units.Prose(by.How), !by.OnSite()})
	}
	return out
}

// visits gathers the buildings at which knowing one fact is worth most. It holds
// no more than twice what it keeps.
func (w *writer) visits() (out []visit, all int, err error) {
	trim := func() {
		slices.SortStableFunc(out, func(a, b visit) int { return cmp.Compare(b.worth, a.worth) })
		out = out[:min(len(out), staticSurveys)]
	}
	err = w.each(w.in.Run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		s := &row.Survey
		if !sampled(float64(s.Wrong)) {
			return nil
		}
		all++
		if s.Facts[0].Field < 0 {
			return nil
		}
		v := visit{ID: row.Building.ID, Wrong: percent(float64(s.Wrong)), worth: report.SurveyWorth(s)}
		if w.address >= 0 && w.address < len(row.Building.Extra) {
			v.Address = row.Building.Extra[w.address]
		}
		for _, f := range s.Facts {
			if f.Field >= 0 {
				by := w.in.Engine.Finding(f)
				v.Facts = append(v.Facts, pair{by.Label + ", " + report.FoundOut(&by), report.Points(f.Gain)})
			}
		}
		v.Facts[0].Name = report.VisitNeeded(w.in.Engine, s) + ": " + v.Facts[0].Name
		if out = append(out, v); len(out) == 2*staticSurveys {
			trim()
		}
		return nil
	})
	trim()
	return out, all, err
}

// addressRows is how many buildings tell which column holds addresses.
const addressRows = 200

// findAddress looks which of the inventory's own columns tells people best where
// a building is: the first that mostly holds words with a number, as addresses
// do, else the first that mostly holds letters; -1 where there is none.
func (w *writer) findAddress() (int, error) {
	order, names := w.in.Run.Ranks.Overall, w.in.Run.ExtraColumns()
	given, words, addresses := make([]int, len(names)), make([]int, len(names)), make([]int, len(names))
	err := w.each(order[:min(len(order), addressRows)], func(_ uint32, row *screen.Row) error {
		for i, s := range row.Building.Extra {
			if i >= len(names) || s == "" {
				continue
			}
			given[i]++
			if strings.ContainsFunc(s, unicode.IsLetter) {
				words[i]++
				if strings.ContainsFunc(s, unicode.IsDigit) && strings.ContainsFunc(s, unicode.IsSpace) {
					addresses[i]++
				}
			}
		}
		return nil
	})
	for _, counts := range [][]int{addresses, words} {
		for i, n := range counts {
			if n > 0 && 2*n >= given[i] && 2*given[i] >= slices.Max(given) {
				return i, err
			}
		}
	}
	return -1, err
}
