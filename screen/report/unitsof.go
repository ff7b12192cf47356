package report

import (
	"math"
	"regexp"
	"strconv"

	"wallsift/ingest"
	"wallsift/screen"
)

// Units are the units that a run's files for people are written in, for writers
// of other formats. ranking.csv, ranking.parquet and places.geojson are SI
// whatever they are, because programs read them and their columns name the unit.
type Units struct {
	IP         bool  // inch-pound, else SI
	Layer      Scale // thickness of a layer or a wall, from m
	Insulation Scale // thickness of insulation, from m
	U          Scale // thermal transmittance, from W/(m²·K)
	Heat       Scale // from kWh/(m²·a)
	u          *units
}

// UnitsOf are the units a run was asked for.
func UnitsOf(e *screen.Engine) Units {
	u := unitsOf(e)
	return Units{IP: u.ip, Layer: u.thickness, Insulation: u.insulation, U: u.transmittance, Heat: u.heat, u: u}
}

// Fact is the scale of a number of the inventory that is a length or an area.
func (u Units) Fact(n ingest.Number) (Scale, bool) { return u.u.of(n) }

// Measure converts a value of an indicator or a limit, and its unit, from SI.
// The value is rounded where it is converted.
func (u Units) Measure(x float64, si string) (float64, string) { return u.u.measure(x, si) }

func (u *units) measure(x float64, si string) (float64, string) {
	s, ok := u.unit(si)
	if !ok {
		return x, si
	}
	ten := math.Pow10(s.decimals)
	return math.Round(s.Of(x)*ten) / ten, s.sign
}

// Area is the word for the area that figures of heat are for.
func (u Units) Area() string { return u.u.areaWord() }

func (u *units) areaWord() string {
	if u.ip {
		return "square foot"
	}
	return "square metre"
}

// figure is a number in a text.
const figure = `-?\b\d+(?:\.\d+)?`

// quantity finds an amount or a range in one of the units of spoken, and bare
// such a unit without an amount.
var (
	quantity = regexp.MustCompile(`(` + figure + `)(?:( to | and |–|-)(` + figure + `))?( ?)(mm|°C|degC|kWh/m2a|W/m2K|W/mK|m2K/W)\b`)
	bare     = regexp.MustCompile(`°C|\b(?:mm|degC|kWh/m2a|W/m2K|W/mK|m2K/W|square metres?)\b`)
)

// spoken finds a unit that texts of the configuration and of the method use: its
// scale in SI and in u, and how the latter is written.
func (u *units) spoken(unit string) (si, to Scale, written string) {
	switch unit {
	case "mm":
		return siUnits.thickness, u.thickness, u.thickness.label
	case "°C":
		return siUnits.temperature, u.temperature, u.temperature.sign
	case "degC":
		return siUnits.temperature, u.temperature, u.temperature.label
	case "kWh/m2a":
		return siUnits.heat, u.heat, u.heat.label
	case "W/m2K":
		return siUnits.transmittance, u.transmittance, u.transmittance.label
	case "W/mK":
		return siUnits.conductivity, u.conductivity, u.conductivity.label
	}
	return siUnits.resistance, u.resistance, u.resistance.label
}

// Prose converts amounts and units that a text of the configuration or of the
// method names. Sources are quoted as they are and do not go through it.
func (u Units) Prose(text string) string { return u.u.prose(text) }

func (u *units) prose(text string) string {
	if !u.ip {
		return text
	}
	text = quantity.ReplaceAllStringFunc(text, func(found string) string {
		m := quantity.FindStringSubmatch(found)
		from, to, unit := u.spoken(m[5])
		one := func(figure string) string {
			x, err := strconv.ParseFloat(figure, 64)
			if err != nil { // the pattern lets figures through only
				return figure
			}
			return to.Short(from.si(x))
		}
		out := one(m[1])
		if m[3] != "" {
			out += m[2] + one(m[3])
		}
		return out + m[4] + unit
	})
	return bare.ReplaceAllStringFunc(text, func(found string) string {
		switch found {
		case "square metre":
			return u.areaWord()
		case "square metres":
			return "square feet"
		}
		_, _, unit := u.spoken(found)
		return unit
	})
}
