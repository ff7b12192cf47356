package page

import (
	"strings"

	"wallsift/config"
	"wallsift/screen"
)

// sentence says why a verdict is what it is, from the fields of the judgement
// alone. assets/sentence.js says the same in the same words.
func (w *writer) sentence(j *screen.Judgement) string {
	var why []string
	reasons := func(effect string) {
		for _, g := range w.in.Engine.GatesOf(j.Gates) {
			if g.Effect == effect {
				why = append(why, g.Reason)
			}
		}
	}
	over := func() {
		switch {
		case sampled(j.Chance):
			why = append(why, "the chance that a limit is exceeded is "+percent(j.Chance))
		case j.Low > 1:
			why = append(why, j.GoverningHigh.Info().Label+" is over its limit even in the favourable case")
		case j.High > 1:
			why = append(why, j.GoverningHigh.Info().Label+" is over its limit in the adverse case")
		}
	}
	switch {
	case j.Excluded:
		reasons(config.EffectExclude)
	case j.Verdict == screen.NotSuited:
		over()
	case j.Verdict == screen.SurveyFirst:
		reasons(config.EffectSurvey)
		if j.Failed {
			why = append(why, "the hourly calculation did not settle")
		}
		over()
	default:
		reasons(config.EffectHold)
		switch {
		case sampled(j.Chance):
			over()
		case j.High <= 1:
			why = append(why, "every limit is kept, also in the adverse case")
		}
	}
	out := upper(j.Verdict.String())
	if len(why) > 0 {
		out += ": " + strings.Join(why, "; ")
	}
	out += "."
	if j.Gathering {
		out += " The wall does not repeat its year: its moisture changes from year to year."
	}
	return out
}

// governed says which limit is used most.
func governed(j *screen.Judgement) string {
	if !j.HasGovern {
		return "no limit applies"
	}
	s := j.Governing.Info().Label
	if j.Month >= 0 {
		s += ", " + months[j.Month]
	}
	return s
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
