package screen_test

import (
	"cmp"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wallsift/screen"
)

// rung is the place of a verdict in the printed rule: insulation that is suited,
// insulation suited after repairs, repairs alone where they are enough, the rest.
func rung(j *screen.Judgement) int {
	switch {
	case j.Verdict > screen.SuitedAfterRepairs:
		return 1 + int(j.Verdict)
	case j.RAdded == 0:
		return 2
	}
	return int(j.Verdict)
}

// precedes is the printed ranking rule once more: gates, verdict, margin grade
// of the adverse case, energy saved per unit of risk.
func precedes(a, b *screen.Judgement) bool {
	switch {
	case a.Excluded != b.Excluded:
		return b.Excluded
	case a.Warned != b.Warned:
		return b.Warned
	case rung(a) != rung(b):
		return rung(a) < rung(b)
	}
	ga, gb := gradeOf(a.High), gradeOf(b.High)
	if ga != gb {
		return ga < gb
	}
	return perRisk(a)-perRisk(b) > 1e-5*perRisk(a) // scores are kept in single precision
}

// gradeOf counts the steps of rank.margin_steps that are exceeded.
func gradeOf(u float64) int {
	n := 0
	for _, step := range defaultConfig().Rank.MarginSteps {
		if u > step {
			n++
		}
	}
	return n
}

func perRisk(j *screen.Judgement) float64 { return j.Saved / max(j.High, 0.1) }

// Of two judgements of one class the higher score is the smaller key, and no score
// outweighs a class.
func TestRankKeyTurnsScores(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		score := rapid.OneOf(rapid.Float32(), rapid.SampledFrom([]float32{0, float32(math.Copysign(0, -1)), float32(math.Inf(1)), float32(math.Inf(-1))}))
		a, b := screen.Judgement{Score: float64(score.Draw(t, "a"))}, screen.Judgement{Score: float64(score.Draw(t, "b"))}
		if got, want := cmp.Compare(a.RankKey(), b.RankKey()), cmp.Compare(b.Score, a.Score); got != want {
			t.Errorf("scores %g and %g: keys compare as %d, want %d", a.Score, b.Score, got, want)
		}
		if b.Margin = 1; a.RankKey() >= b.RankKey() {
			t.Errorf("score %g outweighs the margin grade", b.Score)
		}
	})
}

func TestStrategiesStandInTheOrderOfTheRule(t *testing.T) {
	e := defaults()
	rapid.Check(t, func(t *rapid.T) {
		list := e.NewWorker().Steady(draw(t))
		for i := range list[1:] {
			if precedes(&list[i+1], &list[i]) {
				t.Errorf("%+v stands behind %+v", list[i+1], list[i])
			}
		}
	})
}

// Equal homes stand in the order of their ids, whatever their order in the file.
func TestTiesBreakOnBuildingID(t *testing.T) {
	s := screenFiles(t, load(t, nil), inventory(t, "a.csv",
		"C,500,brick_common,4c,moderate,none\nA,500,brick_common,4c,moderate,none\nB,500,brick_common,4c,moderate,none\n"))
	for _, order := range append(s.run.Ranks.Order[:len(s.run.Choices())], s.run.Ranks.Overall) {
		if order[0] != 1 || order[1] != 2 || order[2] != 0 {
			t.Errorf("order %v, expected A, B, C", order)
		}
	}
}
