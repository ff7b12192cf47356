package page

import (
	"math"
	"strconv"
	"strings"

	"wallsift/ingest"
	"wallsift/screen/report"
)

// spaced makes a column name readable: the page is for people.
func spaced(name string) string {
	if name == ingest.WaterAbsorption.Name() {
		return "water absorption A_w"
	}
	return strings.ReplaceAll(name, "_", " ")
}

func spacedAll(names []string) (out []string) {
	for _, s := range names {
		out = append(out, spaced(s))
	}
	return out
}

// fact is how a number of the inventory is shown.
type fact struct {
	name, unit string
	decimals   int
	of         func(float64) float64 // from SI
}

func factsOf(u report.Units) (out []fact) {
	for n := range ingest.NumNumbers {
		f := fact{name: spaced(n.Name()), decimals: 4, of: func(x float64) float64 { return x }}
		if s, ok := u.Fact(n); ok {
			f.unit, f.decimals, f.of = s.Unit(), s.Decimals(), s.Of
		} else {
			f.unit = unitOf(n)
		}
		out = append(out, f)
	}
	return out
}

// per is what the page's data multiply the number by: its last decimal is a unit.
func (f *fact) per() float64 { return math.Pow10(f.decimals) }

// text is the number with its unit, as the script shows it.
func (f *fact) text(x float64) string {
	v := strconv.FormatFloat(math.Round(f.of(x)*f.per())/f.per(), 'f', -1, 64)
	if f.unit != "" {
		v += " " + f.unit
	}
	return v
}

// unitOf returns the unit of numbers that are the same in all systems of units.
func unitOf(n ingest.Number) string {
	switch n {
	case ingest.Orientation, ingest.Latitude, ingest.Longitude:
		return "°"
	case ingest.WaterAbsorption:
		return "kg/(m²√s)"
	}
	return ""
}

func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// percent keeps its sign on the same line.
func percent(x float64) string { return fixed(100*x, 0) + "\u00a0%" }

// sampled says whether a chance was sampled: it is neither negative nor a NaN.
func sampled(chance float64) bool { return chance >= 0 }

var months = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}
