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
		{"Btu(IT)/(h·ft²·°F) in W/(m²·K)", ipUnits.transmittance.size, 5.678263},
		{"h·ft²·°F/Btu(IT) in m²·K/W", ipUnits.resistance.size, 1.761102e-1},
		{"Btu(IT)·in/(h·ft²·°F) in W/(m·K)", ipUnits.conductivity.size, 1.442279e-1},
		{"Btu(IT)/ft² in J/m²", ipUnits.heat.size * kWh / 1000, 1.135653e4},
		{"inch in m", ipUnits.thickness.size, 0.0254},
		{"foot in m", ipUnits.height.size, 0.3048},
		{"square foot in m²", ipUnits.area.size, 0.09290304},
		{"pound (avoirdupois) in kg", ipUnits.mass.size, 4.535924e-1},
		{"Btu(IT) in J", ipUnits.energy.size * kWh / 1000, 1.055056e3},
	} {
		if math.Abs(c.got/c.want-1) > 5e-7 {
			t.Errorf("%s: %.8g, expected %.8g", c.name, c.got, c.want)
		}
	}
}

// Fixed points of the Fahrenheit scale: ice 32, steam 212, and −40 in both.
func TestFahrenheit(t *testing.T) {
	for c, f := range map[float64]string{0: "32.0", 100: "212.0", -40: "-40.0", 37: "98.6"} {
		if got := ipUnits.temperature.print(c); got != f {
			t.Errorf("%v °C: %s °F, expected %s", c, got, f)
		}
	}
}

// Printed figures of both systems say the same, to half their last digit.
func TestSystemsAgree(t *testing.T) {
	for _, c := range []struct {
		name   string
		si, ip Scale
	}{
		{"thickness", siUnits.thickness, ipUnits.thickness}, {"depth", siUnits.depth, ipUnits.depth},
		{"conductivity", siUnits.conductivity, ipUnits.conductivity}, {"resistance", siUnits.resistance, ipUnits.resistance},
		{"surface", siUnits.surface, ipUnits.surface}, {"transmittance", siUnits.transmittance, ipUnits.transmittance},
		{"temperature", siUnits.temperature, ipUnits.temperature}, {"degree-hours", siUnits.degreeHours, ipUnits.degreeHours},
		{"heat", siUnits.heat, ipUnits.heat}, {"insulation", siUnits.insulation, ipUnits.insulation},
		{"added resistance", siUnits.added, ipUnits.added}, {"energy", siUnits.energy, ipUnits.energy},
		{"mass", siUnits.mass, ipUnits.mass}, {"height", siUnits.height, ipUnits.height}, {"area", siUnits.area, ipUnits.area},
	} {
		for _, x := range []float64{0, 0.013, 0.35, 2.9, 17, 153, 40480} {
			back := func(s Scale) (value, half float64) {
				f, err := strconv.ParseFloat(s.print(x), 64)
				if err != nil {
					t.Fatal(err)
				}
				return s.si(f), 0.5 * math.Pow(10, -float64(s.decimals)) * s.size
			}
			a, ha := back(c.si)
			b, hb := back(c.ip)
			if math.Abs(a-b) > (ha+hb)*(1+1e-9) {
				t.Errorf("%s of %v: %s %s is not %s %s", c.name, x, c.si.print(x), c.si.label, c.ip.print(x), c.ip.label)
			}
		}
	}
}
