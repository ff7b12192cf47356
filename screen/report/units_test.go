package report

import (
	"math"
	"strconv"
	"testing"
)

// NIST Special Publication 811 (2008), appendix B.8, from memory: factors as
// printed there, seven digits.
func TestSizesOfInchPoundUnits(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"Btu(IT)/(h·ft²·°F) in W/(m²·K)", ipUnits.U.size, 5.678263},
		{"h·ft²·°F/Btu(IT) in m²·K/W", ipUnits.Resistance.size, 1.761102e-1},
		{"Btu(IT)·in/(h·ft²·°F) in W/(m·K)", ipUnits.Conductivity.size, 1.442279e-1},
		{"Btu(IT)/ft² in J/m²", ipUnits.Heat.size * kWh / 1000, 1.135653e4},
		{"inch in m", ipUnits.Thickness.size, 0.0254},
		{"foot in m", ipUnits.Height.size, 0.3048},
		{"square foot in m²", ipUnits.Area.size, 0.09290304},
		{"pound (avoirdupois) in kg", ipUnits.Mass.size, 4.535924e-1},
		{"Btu(IT) in J", ipUnits.Energy.size * kWh / 1000, 1.055056e3},
	} {
		if math.Abs(c.got/c.want-1) > 5e-7 {
			t.Errorf("%s: %.8g, expected %.8g", c.name, c.got, c.want)
		}
	}
}

// Fixed points of the Fahrenheit scale: ice 32, steam 212, and −40 in both.
func TestFahrenheit(t *testing.T) {
	for c, f := range map[float64]string{0: "32.0", 100: "212.0", -40: "-40.0", 37: "98.6"} {
		if got := ipUnits.Temperature.Text(c); got != f {
			t.Errorf("%v °C: %s °F, expected %s", c, got, f)
		}
	}
}

// si is the inverse of Of.
func (s Scale) si(x float64) float64 { return (x - s.offset) * s.size }

// Printed figures of both systems say the same, to half their last digit.
func TestSystemsAgree(t *testing.T) {
	for _, c := range []struct {
		name   string
		si, ip Scale
	}{
		{"thickness", siUnits.Thickness, ipUnits.Thickness},
		{"conductivity", siUnits.Conductivity, ipUnits.Conductivity}, {"resistance", siUnits.Resistance, ipUnits.Resistance},
		{"surface", siUnits.Surface, ipUnits.Surface}, {"transmittance", siUnits.U, ipUnits.U},
		{"temperature", siUnits.Temperature, ipUnits.Temperature}, {"degree-hours", siUnits.DegreeHours, ipUnits.DegreeHours},
		{"heat", siUnits.Heat, ipUnits.Heat}, {"insulation", siUnits.Insulation, ipUnits.Insulation},
		{"added resistance", siUnits.Added, ipUnits.Added}, {"energy", siUnits.Energy, ipUnits.Energy},
		{"mass", siUnits.Mass, ipUnits.Mass}, {"height", siUnits.Height, ipUnits.Height}, {"area", siUnits.Area, ipUnits.Area},
	} {
		for _, x := range []float64{0, 0.013, 0.35, 2.9, 17, 153, 40480} {
			back := func(s Scale) (value, half float64) {
				f, err := strconv.ParseFloat(s.Text(x), 64)
				if err != nil {
					t.Fatal(err)
				}
				return s.si(f), 0.5 * math.Pow(10, -float64(s.Decimals)) * s.size
			}
			a, ha := back(c.si)
			b, hb := back(c.ip)
			if math.Abs(a-b) > (ha+hb)*(1+1e-9) {
				t.Errorf("%s of %v: %s %s is not %s %s", c.name, x, c.si.Text(x), c.si.Unit, c.ip.Text(x), c.ip.Unit)
			}
		}
	}
}
