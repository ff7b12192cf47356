package report

import (
	"fmt"
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
	label    string  // on a terminal, plain ASCII
	sign     string  // in files for people
	size     float64 // of the unit, in SI
	offset   float64 // reading at the zero of SI
	decimals int
}

// Unit is the unit as files for people write it.
func (s Scale) Unit() string { return s.sign }

// Decimals is how many a figure is shown with.
func (s Scale) Decimals() int { return s.decimals }

// Of converts a value from SI.
func (s Scale) Of(x float64) float64 { return x/s.size + s.offset }

// Text is a value from SI with the decimals of the scale, without its unit.
func (s Scale) Text(x float64) string { return s.print(x) }

// Short is Text without zeros that end its decimals.
func (s Scale) Short(x float64) string {
	text := s.print(x)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// si is the inverse of Of.
func (s Scale) si(x float64) float64 { return (x - s.offset) * s.size }

func (s Scale) print(x float64) string { return fixed(s.Of(x), s.decimals) }

// known is print for a property that a layer may not have, which is then 0.
func (s Scale) known(x float64) string {
	if x == 0 {
		return ""
	}
	return s.print(x)
}

// units are the scales of what people read. Water (kg/m², A_w), s_d values,
// vapour pressures and utilisations are SI in both systems, because their
// limits are published so.
type units struct {
	ip            bool
	thickness     Scale // of layers, from m
	insulation    Scale // thickness of insulation, from m
	depth         Scale // within the wall, from m
	height        Scale // of buildings and ground, from m
	area          Scale // from m²
	conductivity  Scale // from W/(m·K)
	resistance    Scale // from m²·K/W
	added         Scale // resistance of insulation, from m²·K/W
	surface       Scale // surface resistances, from m²·K/W
	transmittance Scale // from W/(m²·K)
	temperature   Scale // from °C
	degreeHours   Scale // from K·h/a
	heat          Scale // from kWh/(m²·a)
	energy        Scale // from kWh/a
	mass          Scale // from kg/a
}

var siUnits = units{
	thickness:     Scale{"mm", "mm", 0.001, 0, 1},
	insulation:    Scale{"mm", "mm", 0.001, 0, 0},
	depth:         Scale{"mm", "mm", 0.001, 0, 0},
	height:        Scale{"m", "m", 1, 0, 4},
	area:          Scale{"m2", "m²", 1, 0, 4},
	conductivity:  Scale{"W/mK", "W/(m·K)", 1, 0, 3},
	resistance:    Scale{"m2K/W", "m²·K/W", 1, 0, 3},
	added:         Scale{"m2K/W", "m²·K/W", 1, 0, 2},
	surface:       Scale{"m2K/W", "m²·K/W", 1, 0, 2},
	transmittance: Scale{"W/m2K", "W/(m²·K)", 1, 0, 2},
	temperature:   Scale{"degC", "°C", 1, 0, 1},
	degreeHours:   Scale{"kKh/a", "kK·h/a", 1000, 0, 1},
	heat:          Scale{"kWh/m2a", "kWh/(m²·a)", 1, 0, 0},
	energy:        Scale{"kWh/a", "kWh/a", 1, 0, 0},
	mass:          Scale{"kg/a", "kg/a", 1, 0, 2},
}

var ipUnits = units{
	ip:            true,
	thickness:     Scale{"in", "in", inch, 0, 2},
	insulation:    Scale{"in", "in", inch, 0, 1},
	depth:         Scale{"in", "in", inch, 0, 1},
	height:        Scale{"ft", "ft", foot, 0, 1},
	area:          Scale{"ft2", "ft²", foot * foot, 0, 0},
	conductivity:  Scale{"Btu in/hft2F", "Btu·in/(h·ft²·°F)", kValue, 0, 3},
	resistance:    Scale{"hft2F/Btu", "h·ft²·°F/Btu", 1 / uValue, 0, 2},
	added:         Scale{"hft2F/Btu", "h·ft²·°F/Btu", 1 / uValue, 0, 1},
	surface:       Scale{"hft2F/Btu", "h·ft²·°F/Btu", 1 / uValue, 0, 2},
	transmittance: Scale{"Btu/hft2F", "Btu/(h·ft²·°F)", uValue, 0, 3},
	temperature:   Scale{"degF", "°F", degF, 32, 1},
	degreeHours:   Scale{"kFh/a", "k°F·h/a", 1000 * degF, 0, 1},
	heat:          Scale{"kBtu/ft2a", "kBtu/(ft²·a)", 1000 * btu / (foot * foot) / kWh, 0, 1},
	energy:        Scale{"kBtu/a", "kBtu/a", 1000 * btu / kWh, 0, 0},
	mass:          Scale{"lb/a", "lb/a", pound, 0, 2},
}

func unitsOf(e *screen.Engine) *units {
	if e.Units() == config.UnitsIP {
		return &ipUnits
	}
	return &siUnits
}

// uHead is the head of a column of U-values. In SI the unit goes without saying.
func (u *units) uHead(text string) string {
	if u.ip {
		return text + " " + u.transmittance.label
	}
	return text
}

// perR is the unit of R in running text, where SI keeps the plain form that
// ranking.csv has.
func (u *units) perR() string {
	if u.ip {
		return u.added.sign
	}
	return u.added.label
}

// of finds the scale of a number of the inventory that has one in this system.
func (u *units) of(n ingest.Number) (Scale, bool) {
	switch n {
	case ingest.WallThickness:
		return u.thickness, true
	case ingest.Height, ingest.Elevation:
		return u.height, true
	case ingest.WallArea, ingest.FloorArea:
		return u.area, true
	}
	return Scale{}, false
}

// fact prints a number of the inventory with its unit.
func (u *units) fact(n ingest.Number, x float64) string {
	if s, ok := u.of(n); ok && u.ip {
		return s.print(x) + " " + s.label
	}
	return strconv.FormatFloat(x, 'g', 6, 64) + " " + siUnit(n.Name())
}

func siUnit(field string) string {
	for _, c := range ingest.Columns() {
		if c.Name == field {
			return c.SI
		}
	}
	return ""
}

// wallNote sums up a wall: r in m²·K/W, t in W/(m²·K), surface resistances in
// m²·K/W.
func (u *units) wallNote(r, t, rse, rsi float64) string {
	if u.ip {
		return fmt.Sprintf("R-value of the layers %s hft2F/Btu (%s m2K/W); U = %s %s with Rse %s and Rsi %s hft2F/Btu (ISO 6946).",
			fixed(r*uValue, 1), fixed(r, 2), u.transmittance.print(t), u.transmittance.label, u.surface.print(rse), u.surface.print(rsi))
	}
	return fmt.Sprintf("R of the layers %s m2K/W (R-value %s); U = %s W/m2K with Rse %s and Rsi %s (ISO 6946).",
		fixed(r, 2), fixed(r*uValue, 1), fixed(t, 3), fixed(rse, 2), fixed(rsi, 2))
}

// indicator prints a demand and its limit.
func (u *units) indicator(demand, limit float64, unit string) (d, l, label string) {
	if s, ok := u.unit(unit); ok {
		return s.print(demand), s.print(limit), s.label
	}
	return fixed(demand, 3), fixed(limit, 3), unit
}

// unit finds the scale that stands for an SI unit of an indicator or a limit.
// There is none in SI, nor for what is SI in both systems.
func (u *units) unit(si string) (Scale, bool) {
	if u.ip {
		switch si {
		case "m":
			return u.thickness, true
		case "m2K/W":
			return u.resistance, true
		}
	}
	return Scale{}, false
}
