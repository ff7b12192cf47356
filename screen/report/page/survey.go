package page

import (
	"cmp"
	"slices"

	"wallsift/screen"
)

// staticSurveys is how many buildings the plain survey order holds.
const staticSurveys = 20

// visit is a building of the survey order.
type visit struct {
	ID    string
	Wrong string
	Facts []pair
	gain  float32
}

// visits gathers the buildings at which knowing one fact is worth most. It holds
// no more than twice what it keeps.
func (w *writer) visits() (out []visit, all int, err error) {
	trim := func() {
		slices.SortStableFunc(out, func(a, b visit) int { return cmp.Compare(b.gain, a.gain) })
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
		v := visit{ID: row.Building.ID, Wrong: percent(float64(s.Wrong)), gain: s.Facts[0].Gain}
		for _, f := range s.Facts {
			if f.Field >= 0 {
				v.Facts = append(v.Facts, pair{spaced(f.Name()), fixed(100*float64(f.Gain), 1)})
			}
		}
		if out = append(out, v); len(out) == 2*staticSurveys {
			trim()
		}
		return nil
	})
	trim()
	return out, all, err
}
