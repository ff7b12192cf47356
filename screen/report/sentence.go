package report

import (
	"fmt"
	"strings"

	"wallsift/model/indicator"
	"wallsift/screen"
)

// Sentence says in plain words why a judgement came out as it did: what governs,
// where and when, and how much insulation the wall takes. Every figure in it is
// the judgement's own. SI, as all files.
func Sentence(e *screen.Engine, j *screen.Judgement) string {
	var b strings.Builder
	switch {
	case j.Failed:
		return "The hourly model did not converge for this wall: judge it by hand."
	case !j.HasGovern:
		b.WriteString("No damage measure applies")
	case j.Typical > 1:
		fmt.Fprintf(&b, "Limited by %s%s: %s its limit", where(j.Governing), when(j), times(j.Typical))
	default:
		fmt.Fprintf(&b, "Nearest to its limit is %s%s: %s of it", where(j.Governing), when(j), percent(j.Typical))
	}
	if j.Chance >= 0 {
		fmt.Fprintf(&b, "; chance that a limit is exceeded %.0f %% (± %.0f)", 100*j.Chance, 100*j.ChanceError)
		if j.Chance > 0 && j.GoverningHigh != j.Governing {
			fmt.Fprintf(&b, ", in adverse cases by %s", where(j.GoverningHigh))
		}
	}
	b.WriteString(".")
	if a := j.Allowance; a.Known && !j.Excluded {
		switch {
		case a.Full:
			fmt.Fprintf(&b, " In the typical case the wall takes all of the range, up to %.0f mm (R %.2f m2K/W).", 1000*a.Thickness, a.R)
		case a.Thickness > 0:
			fmt.Fprintf(&b, " In the typical case it would keep its limits with at most %.0f mm (R %.2f m2K/W); beyond, %s is first over its limit.", 1000*a.Thickness, a.R, where(a.By))
		default:
			fmt.Fprintf(&b, " In the typical case not even the thinnest insulation of the range keeps %s within its limit.", where(a.By))
		}
	}
	if j.Gathering {
		b.WriteString(" The wall does not come to rest within the years allowed; its last year is judged.")
	}
	for _, g := range e.GatesOf(j.Gates) {
		fmt.Fprintf(&b, " %s: %s.", g.Label, g.Reason)
	}
	return b.String()
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
