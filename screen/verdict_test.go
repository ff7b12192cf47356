package screen

import (
	"testing"

	"wallsift/config"
)

// ruled holds what verdicts are decided by.
var ruled = &config.Config{Chance: config.Chance{SuitedBelow: 0.1, NotSuitedAbove: 0.7}}

// The verdict rule case by case: a gate and a warning come before the physics, the
// chance decides where it was drawn, but not against a typical case that exceeds a
// limit, unless the wall's own past speaks against that case.
func TestVerdictRule(t *testing.T) {
	e := &Engine{cfg: ruled}
	drawn := func(chance float64, j Judgement) Judgement {
		j.Chance, j.ChanceLow, j.ChanceHigh = chance, chance, chance
		return j
	}
	undrawn := func(low, typical, high float64, j Judgement) Judgement {
		j.Low, j.Typical, j.High = low, typical, high
		return drawn(notDrawn, j)
	}
	for _, x := range []struct {
		name string
		j    Judgement
		want Verdict
	}{
		{"chance at the bound", drawn(0.1, Judgement{Typical: 0.9}), Suited},
		{"a gate holds", drawn(0.1, Judgement{Typical: 0.9, Hold: true}), SuitedAfterRepairs},
		{"chance between the bounds", drawn(0.11, Judgement{Typical: 0.9}), SurveyFirst},
		{"chance between the bounds, a gate holds", drawn(0.5, Judgement{Typical: 0.9, Hold: true}), SurveyFirst},
		{"typical case exceeds a limit", drawn(0, Judgement{Typical: 1.05}), SurveyFirst},
		{"typical case that is not believed", drawn(0, Judgement{Typical: 1.05, Unlikely: true}), Suited},
		{"typical case that is not believed, high chance", drawn(0.3, Judgement{Typical: 1.05, Unlikely: true}), SurveyFirst},
		{"a gate asks for a survey", drawn(0, Judgement{Typical: 0.9, Survey: true}), SurveyFirst},
		{"not converged", drawn(0, Judgement{Typical: 0.9, Failed: true}), SurveyFirst},
		{"chance at the upper bound", drawn(0.7, Judgement{Typical: 0.9}), SurveyFirst},
		{"chance above it", drawn(0.71, Judgement{Typical: 0.9}), NotSuited},
		{"chance above it, not believed", drawn(0.71, Judgement{Typical: 2, Unlikely: true}), NotSuited},
		{"excluded", drawn(0, Judgement{Typical: 0.9, Excluded: true}), NotSuited},
		{"a warning is never advice", drawn(0, Judgement{Typical: 0.9, Warned: true}), WarningOnly},
		{"a warning in doubt", drawn(0.5, Judgement{Typical: 1.2, Warned: true, Survey: true}), WarningOnly},
		{"a warning that exceeds a limit", drawn(0.9, Judgement{Typical: 1.2, Warned: true}), NotSuited},
		{"a warning that is excluded", drawn(0, Judgement{Typical: 0.9, Warned: true, Excluded: true}), NotSuited},
		{"not drawn, all corners keep", undrawn(0.2, 0.5, 1, Judgement{}), Suited},
		{"not drawn, adverse corner exceeds", undrawn(0.2, 0.5, 1.01, Judgement{}), SurveyFirst},
		{"not drawn, favourable corner exceeds", undrawn(1.01, 1.2, 1.5, Judgement{}), NotSuited},
		{"not drawn, a gate holds", undrawn(0.2, 0.5, 0.8, Judgement{Hold: true}), SuitedAfterRepairs},
	} {
		j := x.j
		if e.decide(&j); j.Verdict != x.want {
			t.Errorf("%s: %v, expected %v", x.name, j.Verdict, x.want)
		}
	}
}

// A chance is near a threshold when its bounds lie on both sides of it.
func TestNearAThreshold(t *testing.T) {
	e := &Engine{cfg: ruled}
	for _, x := range []struct {
		chance, low, high float64
		excluded, want    bool
	}{
		{0.05, 0.02, 0.12, false, true},
		{0.05, 0.02, 0.09, false, false},
		{0.4, 0.2, 0.6, false, false},
		{0.65, 0.5, 0.8, false, true},
		{0.9, 0.8, 0.95, false, false},
		{0.4, 0.05, 0.9, false, true},
		{0.05, 0.02, 0.12, true, false}, // a gate settles it whatever the chance
		{notDrawn, notDrawn, notDrawn, false, false},
	} {
		j := Judgement{Chance: x.chance, ChanceLow: x.low, ChanceHigh: x.high, Excluded: x.excluded}
		if e.decide(&j); j.Near != x.want {
			t.Errorf("chance %v, %v to %v, excluded %v: near %v", x.chance, x.low, x.high, x.excluded, j.Near)
		}
	}
}
