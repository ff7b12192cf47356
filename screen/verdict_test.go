package screen

import (
	"testing"

	"wallsift/config"
)

// A chance decides between its thresholds, but not against the engine's own
// typical case, a gate, or a run that did not converge.
func TestChanceVerdict(t *testing.T) {
	c := &config.Chance{SuitedBelow: 0.1, NotSuitedAbove: 0.7}
	for _, x := range []struct {
		j    Judgement
		want Verdict
	}{
		{Judgement{Chance: 0.1, Typical: 0.9}, Suited},
		{Judgement{Chance: 0.1, Typical: 0.9, Hold: true}, SuitedAfterRepairs},
		{Judgement{Chance: 0.11, Typical: 0.9}, SurveyFirst},
		{Judgement{Chance: 0, Typical: 1.05}, SurveyFirst},
		{Judgement{Chance: 0, Typical: 0.9, Survey: true}, SurveyFirst},
		{Judgement{Chance: 0, Typical: 0.9, Failed: true}, SurveyFirst},
		{Judgement{Chance: 0.71, Typical: 0.9}, NotSuited},
		{Judgement{Chance: 0, Typical: 0.9, Excluded: true}, NotSuited},
	} {
		if got := x.j.chanceVerdict(c); got != x.want {
			t.Errorf("%+v: %v, expected %v", x.j, got, x.want)
		}
	}
}
