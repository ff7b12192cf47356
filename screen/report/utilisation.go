package report

import (
	"strconv"

	"wallsift/model/indicator"
	"wallsift/screen"
)

// MostSampled is where package screen cuts the low and high utilisation of what
// was sampled: response surfaces know nothing further out.
const MostSampled = screen.MostUtilisation

// Used prints a utilisation with two decimals, as "99+" where the model cut it.
func Used(u float64) string { return usedTo(u, indicator.MaxUtilisation) }

// UsedEnd is Used for the low or the high utilisation of a judgement. Where that
// is a percentile of samples it is cut earlier and prints as "4+"; beyond, it is
// the typical case.
func UsedEnd(j *screen.Judgement, u float64) string {
	if j.Chance >= 0 && u != j.Typical && u < MostSampled+0.005 {
		return usedTo(u, MostSampled)
	}
	return Used(u)
}

// usedTo marks what would print as the cut: it may be anything above.
func usedTo(u, cut float64) string {
	if u >= cut-0.005 {
		return strconv.FormatFloat(cut, 'f', 0, 64) + "+"
	}
	return fixed(u, 2)
}
