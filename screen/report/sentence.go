package report

import (
	"fmt"
	"strings"

	"wallsift/config"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// Sentence says in plain words why a judgement came out as it did: what governs,
// where and when, how much insulation the wall takes, and which gates act. Every
// figure in it is the judgement's own. It is in the units the run was asked for;
// ranking.csv has it in SI.
func Sentence(e *screen.Engine, j *screen.Judgement) string {
	return strings.Join(Clauses(e, j), "")
}

// Clauses are the parts that make up Sentence when put one behind the other. Few
// differ over a run, so a writer that holds many sentences can keep each once.
func Clauses(e *screen.Engine, j *screen.Judgement) []string { return clauses(unitsOf(e), e, j) }

func clauses(u *units, e *screen.Engine, j *screen.Judgement) (out []string) {
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	switch {
	case j.Failed:
		return []string{"The hourly model did not converge for this wall: judge it by hand."}
	case !j.HasGovern:
		add("No damage measure applies")
	case j.Typical > 1:
		add("Limited by %s%s: ", where(j.Governing), when(j))
		add("%s its limit", times(j.Typical))
	default:
		add("Nearest to its limit is %s%s: ", where(j.Governing), when(j))
		add("%s of it", percent(j.Typical))
	}
	if j.Chance >= 0 {
		add("; chance that a limit is exceeded in the worst year of ten: %s", Chance(j))
		if j.Chance > 0 && j.GoverningHigh != j.Governing {
			add(", in adverse cases by %s", where(j.GoverningHigh))
		}
	} else if !j.Excluded && j.Typical <= 1 && j.High > 1 {
		add("; in the adverse case %s is over its limit", where(j.GoverningHigh))
	}
	add(".")
	if a := j.Allowance; a.Known && !j.Excluded {
		takes := u.insulation.print(a.Thickness) + " " + u.insulation.label + " (R " + u.added.print(a.R) + " " + u.perR() + ")"
		switch {
		case a.Full:
			add(" In the typical case the wall takes all of the range, up to %s.", takes)
		case a.Thickness > 0:
			add(" In the typical case it would keep its limits with at most %s; beyond, %s is first over its limit.", takes, where(a.By))
		default:
			add(" In the typical case not even the thinnest insulation of the range keeps %s within its limit.", where(a.By))
		}
	}
	if d := j.Drier; d.Enough > 0 {
		add(" With a face of a water absorption A_w of no more than %.2g kg/m2s05 (as judged %.2g) it would keep every limit in the typical case.", d.Enough, d.Now)
	} else if d.Sought {
		add(" A drier face alone would not bring it within its limits.")
	}
	if j.Gathering {
		add(" The wall gains water from year to year.")
	}
	if j.HeldBack {
		add(" Held back at the joists, whose ends would not keep their limit behind the lining.")
	}
	if j.Unlikely {
		add(" The typical case would have ruined the wall as it stands, so likelier draws decide.")
	}
	for _, g := range e.GatesOf(j.Gates) {
		add(" %s: %s.", g.Label, g.Reason)
	}
	return out
}

// RepairsNote says what it means that a strategy without insulation is not
// suited; it is empty where the configuration has no such strategy.
func RepairsNote(e *screen.Engine) string {
	var names []string
	for _, s := range e.Strategies() {
		if s.Side == config.SideNone {
			names = append(names, s.Label)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return strings.Join(names, ", ") + ": not suited means that repairs alone leave a limit exceeded, not that repairs should be left undone."
}

// where is an indicator with its place.
func where(id indicator.ID) string { return id.Info().Label }

// when is the date of the worst moment, with a leading blank.
func when(j *screen.Judgement) string {
	switch {
	case j.Month < 0:
		return ""
	case j.Day >= 0:
		return " about " + date(j.Day)
	}
	return " in " + month(j.Month)
}

// date returns a day of the year (0–364) as day and month.
func date(day int16) string {
	d := int(day)
	for m, n := range [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} {
		if d < n {
			return fmt.Sprintf("%d %s", d+1, months[m])
		}
		d -= n
	}
	return ""
}

// times is a utilisation beyond 1 in words; far beyond, the figure means little.
func times(u float64) string {
	if u > 3 {
		return "more than 3 times"
	}
	return fixed(u, 2) + " times"
}

func percent(u float64) string { return fmt.Sprintf("%.0f %%", 100*u) }
