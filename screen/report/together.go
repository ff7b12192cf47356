package report

import (
	"fmt"
	"math"
	"strconv"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"wallsift/screen"
)

// Together sums up the best strategies over the portfolio in words: how many
// buildings have one that can be built, where it is repairs alone, and what they
// save.
func Together(e *screen.Engine, run *screen.Run) string {
	enough := run.BestBy[screen.Suited] + run.BestBy[screen.SuitedAfterRepairs]
	verb := "have"
	if enough == 1 {
		verb = "has"
	}
	out := fmt.Sprintf("%s %s a strategy that is suited or suited after repairs", Counted(enough, "building"), verb)
	switch {
	case run.BareBest == 0:
		out += "."
	case enough == 1:
		out += "; it is repairs alone."
	default:
		out += fmt.Sprintf("; at %d of them it is repairs alone.", run.BareBest)
	}
	if run.Measured > 0 {
		u := unitsOf(e)
		if enough == 1 {
			return out + fmt.Sprintf(" It saves %s %s.", grouped(u.energy.Of(run.Together)), u.energy.label)
		}
		out += fmt.Sprintf(" Their best strategies together save %s %s, over the %d whose wall area is given.", grouped(u.energy.Of(run.Together)), u.energy.label, run.Measured)
	}
	return out
}

// Counted is a number of things, in the plural where it is not one.
func Counted(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return strconv.Itoa(n) + " " + thing
}

// grouped prints a large amount with three figures that count, in thousands.
func grouped(x float64) string {
	ten := math.Pow10(max(0, int(math.Floor(math.Log10(max(math.Abs(x), 1))))-2))
	return message.NewPrinter(language.English).Sprintf("%.0f", math.Round(x/ten)*ten)
}
