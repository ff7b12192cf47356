package report

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// Sizes of inch-pound units in SI. All are exact: the inch, the foot, the
// avoirdupois pound and the interval of a degree Fahrenheit by definition, the
// Btu by that of the International Table (1055.05585262 J). Source: NIST Special Publication 811
// (2008), Guide for the Use of the SI, appendix B, from memory.
const (
	inch   = 0.0254        // m
	foot   = 0.3048        // m
	degF   = 5.0 / 9       // K, interval
	btu    = 1055.05585262 // J
	hour   = 3600.0        // s
	kWh    = 3.6e6         // J
	pound  = 0.45359237    // kg
	uValue = btu / (hour * foot * foot * degF)
	kValue = btu * inch / (hour * foot * foot * degF) // Btu·in/(h·ft²·°F) in W/(m·K)
)

// Scale shows values that are kept in SI in one unit.
type Scale struct {
	Unit     string
	size     float64 // of the unit, in SI
	offset   float64 // reading at the zero of SI
	Decimals int     // that a figure is shown with
}

// Of converts a value from SI.
func (s Scale) Of(x float64) float64 { return x/s.size + s.offset }

// Text is a value from SI with the decimals of the scale, without its unit.
func (s Scale) Text(x float64) string { return fixed(s.Of(x), s.Decimals) }

// With is Text with the unit.
func (s Scale) With(x float64) string { return s.Text(x) + " " + s.Unit }

// Short is With, without zeros that end the decimals.
func (s Scale) Short(x float64) string {
	text := s.Text(x)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text + " " + s.Unit
}

// known is Text for what a layer or a strategy may not have, which is then 0.
func (s Scale) known(x float64) string {
	if x == 0 {
		return ""
	}
	return s.Text(x)
}

// given is Text for what may not be given, which is then not a number.
func (s Scale) given(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return s.Text(x)
}

// Units are a system of units for what people read. Water (kg/m², A_w), s_d values,
// vapour pressures and texts of the configuration are SI in both systems, because
// limits are published so. Files for programs are SI whatever the units.
type Units int

// Systems of units.
const (
	SI Units = iota
	IP       // inch-pound
)

// Quantity has the scale of a quantity by Units.
type Quantity [2]Scale

// Quantities that people read in the units they ask for.
var (
	Thickness     = Quantity{{"mm", 0.001, 0, 1}, {"in", inch, 0, 2}}                                           // of layers, from m
	Insulation    = Quantity{{"mm", 0.001, 0, 0}, {"in", inch, 0, 1}}                                           // thickness of insulation and depth within the wall, from m
	Height        = Quantity{{"m", 1, 0, 4}, {"ft", foot, 0, 1}}                                                // of buildings and ground, from m
	Area          = Quantity{{"m²", 1, 0, 4}, {"ft²", foot * foot, 0, 0}}                                       // from m²
	Conductivity  = Quantity{{"W/(m·K)", 1, 0, 3}, {"Btu·in/(h·ft²·°F)", kValue, 0, 3}}                         // from W/(m·K)
	Resistance    = Quantity{{"m²·K/W", 1, 0, 3}, {"h·ft²·°F/Btu", 1 / uValue, 0, 2}}                           // from m²·K/W
	Added         = Quantity{{"m²·K/W", 1, 0, 2}, {"h·ft²·°F/Btu", 1 / uValue, 0, 1}}                           // resistance of insulation, from m²·K/W
	Surface       = Quantity{{"m²·K/W", 1, 0, 2}, {"h·ft²·°F/Btu", 1 / uValue, 0, 2}}                           // surface resistances, from m²·K/W
	Transmittance = Quantity{{"W/(m²·K)", 1, 0, 2}, {"Btu/(h·ft²·°F)", uValue, 0, 3}}                           // from W/(m²·K)
	Temperature   = Quantity{{"°C", 1, 0, 1}, {"°F", degF, 32, 1}}                                              // from °C
	DegreeHours   = Quantity{{"kK·h/a", 1000, 0, 1}, {"k°F·h/a", 1000 * degF, 0, 1}}                            // from K·h/a
	Heat          = Quantity{{"kWh/(m²·a)", 1, 0, 0}, {"kBtu/(ft²·a)", 1000 * btu / (foot * foot) / kWh, 0, 1}} // from kWh/(m²·a)
	Energy        = Quantity{{"kWh/a", 1, 0, 0}, {"kBtu/a", 1000 * btu / kWh, 0, 0}}                            // from kWh/a
	Mass          = Quantity{{"kg/a", 1, 0, 2}, {"lb/a", pound, 0, 2}}                                          // from kg/a
)

// UnitsOf are the units a run was asked for.
func UnitsOf(e *screen.Engine) Units { return UnitsNamed(e.Config().Output.Units) }

// Money is the unit of money in headings: the user's currency where it has a name.
func Money(out *config.Output) string { return cmp.Or(out.Currency, "money") }

// UnitsNamed are those of a word of config.Units.
func UnitsNamed(word string) Units {
	if word == config.UnitsIP {
		return IP
	}
	return SI
}

// Fact is a number of the inventory with its unit.
func (u Units) Fact(n ingest.Number, x float64) string {
	unit := ""
	switch n {
	case ingest.WallThickness:
		return Thickness[u].Short(x)
	case ingest.Height, ingest.Elevation:
		return Height[u].Short(x)
	case ingest.WallArea, ingest.FloorArea:
		return Area[u].Short(x)
	case ingest.WaterAbsorption:
		unit = " kg/(m²·√s)"
	case ingest.Orientation:
		unit = "°"
	}
	return strconv.FormatFloat(x, 'g', 8, 64) + unit
}

// Measure converts a value of an indicator or a limit, and its unit, from SI.
func (u Units) Measure(x float64, si string) (float64, string) {
	scale, ok := map[string]Scale{"m": Thickness[u], "m2K/W": Resistance[u]}[si]
	if u == IP && ok {
		return Rounded(scale.Of(x), scale.Decimals), scale.Unit
	}
	return x, si
}

// Known is Fact of a building, with both ends where it is known between two; empty
// where it is not known.
func (u Units) Known(b *ingest.Building, n ingest.Number) string {
	low, high, given := b.Range(n)
	switch {
	case math.IsNaN(low):
		return ""
	case given:
		return u.Fact(n, low) + " to " + u.Fact(n, high)
	}
	return u.Fact(n, low)
}
