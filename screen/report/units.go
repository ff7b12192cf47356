package report

import (
	"fmt"
	"strconv"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// Sizes of inch-pound units in SI. All are exact: the inch, the foot and the
// interval of a degree Fahrenheit by definition, the Btu by that of the
// International Table (1055.05585262 J). Source: NIST Special Publication 811
// (2008), Guide for the Use of the SI, appendix B, from memory.
const (
	inch   = 0.0254        // m
	foot   = 0.3048        // m
	degF   = 5.0 / 9       // K, interval
	btu    = 1055.05585262 // J
	hour   = 3600.0        // s
	kWh    = 3.6e6         // J
	uValue = btu / (hour * foot * foot * degF)
	kValue = btu * inch / (hour * foot * foot * degF) // Btu·in/(h·ft²·°F) in W/(m·K)
)

// scale prints an SI value in one unit.
type scale struct {
	label    string
	size     float64 // of the unit, in SI
	offset   float64 // reading at the zero of SI
	decimals int
}

func (s scale) print(x float64) string { return fixed(x/s.size+s.offset, s.decimals) }

// known is print for a property that a layer may not have, which is then 0.
func (s scale) known(x float64) string {
	if x == 0 {
		return ""
	}
	return s.print(x)
}

// units are the scales of tables for people. Water (kg/m², A_w), s_d values,
// vapour pressures and utilisations are SI in both systems, because their
// limits are published so.
type units struct {
	ip            bool
	thickness     scale // of layers, from m
	depth         scale // within the wall, from m
	height        scale // of buildings and ground, from m
	area          scale // from m²
	conductivity  scale // from W/(m·K)
	resistance    scale // from m²·K/W
	surface       scale // surface resistances, from m²·K/W
	transmittance scale // from W/(m²·K)
	temperature   scale // from °C
	degreeHours   scale // from K·h/a
	heat          scale // from kWh/(m²·a)
}

var siUnits = units{
	thickness:     scale{"mm", 0.001, 0, 1},
	depth:         scale{"mm", 0.001, 0, 0},
	conductivity:  scale{"W/mK", 1, 0, 3},
	resistance:    scale{"m2K/W", 1, 0, 3},
	surface:       scale{"m2K/W", 1, 0, 2},
	transmittance: scale{"W/m2K", 1, 0, 2},
	temperature:   scale{"degC", 1, 0, 1},
	degreeHours:   scale{"kKh/a", 1000, 0, 1},
	heat:          scale{"kWh/m2a", 1, 0, 0},
}

var ipUnits = units{
	ip:            true,
	thickness:     scale{"in", inch, 0, 2},
	depth:         scale{"in", inch, 0, 1},
	height:        scale{"ft", foot, 0, 1},
	area:          scale{"ft2", foot * foot, 0, 0},
	conductivity:  scale{"Btu in/hft2F", kValue, 0, 3},
	resistance:    scale{"hft2F/Btu", 1 / uValue, 0, 2},
	surface:       scale{"hft2F/Btu", 1 / uValue, 0, 2},
	transmittance: scale{"Btu/hft2F", uValue, 0, 3},
	temperature:   scale{"degF", degF, 32, 1},
	degreeHours:   scale{"kFh/a", 1000 * degF, 0, 1},
	heat:          scale{"kBtu/ft2a", 1000 * btu / (foot * foot) / kWh, 0, 1},
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

// fact prints a number of the inventory with its unit.
func (u *units) fact(n ingest.Number, x float64) string {
	s := scale{}
	if u.ip {
		switch n {
		case ingest.WallThickness:
			s = u.thickness
		case ingest.Height, ingest.Elevation:
			s = u.height
		case ingest.WallArea, ingest.FloorArea:
			s = u.area
		}
	}
	if s.size > 0 {
		return s.print(x) + " " + s.label
	}
	return strconv.FormatFloat(x, 'g', 5, 64) + " " + siUnit(n.Name())
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

// indicator prints a demand and its limit; depths are converted.
func (u *units) indicator(demand, limit float64, unit string) (d, l, label string) {
	if u.ip && unit == "m" {
		return u.thickness.print(demand), u.thickness.print(limit), u.thickness.label
	}
	return fixed(demand, 3), fixed(limit, 3), unit
}
