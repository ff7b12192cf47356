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
		{"Btu(IT)/(h·ft²·°F) in W/(m²·K)", Transmittance[IP].size, 5.678263},
		{"h·ft²·°F/Btu(IT) in m²·K/W", Resistance[IP].size, 1.761102e-1},
		{"Btu(IT)·in/(h·ft²·°F) in W/(m·K)", Conductivity[IP].size, 1.442279e-1},
		{"Btu(IT)/ft² in J/m²", Heat[IP].size * kWh / 1000, 1.135653e4},
		{"inch in m", Thickness[IP].size, 0.0254},
		{"foot in m", Height[IP].size, 0.3048},
		{"square foot in m²", Area[IP].size, 0.09290304},
		{"pound (avoirdupois) in kg", Mass[IP].size, 4.535924e-1},
		{"Btu(IT) in J", Energy[IP].size * kWh / 1000, 1.055056e3},
	} {
		if math.Abs(c.got/c.want-1) > 5e-7 {
			t.Errorf("%s: %.8g, expected %.8g", c.name, c.got, c.want)
		}
	}
}

// Fixed points of the Fahrenheit scale: ice 32, steam 212, and −40 in both.
func TestFahrenheit(t *testing.T) {
	for c, f := range map[float64]string{0: "32.0", 100: "212.0", -40: "-40.0", 37: "98.6"} {
		if got := Temperature[IP].Text(c); got != f {
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
		{"thickness", Thickness[SI], Thickness[IP]},
		{"conductivity", Conductivity[SI], Conductivity[IP]}, {"resistance", Resistance[SI], Resistance[IP]},
		{"surface", Surface[SI], Surface[IP]}, {"transmittance", Transmittance[SI], Transmittance[IP]},
		{"temperature", Temperature[SI], Temperature[IP]}, {"degree-hours", DegreeHours[SI], DegreeHours[IP]},
		{"heat", Heat[SI], Heat[IP]}, {"insulation", Insulation[SI], Insulation[IP]},
		{"added resistance", Added[SI], Added[IP]}, {"energy", Energy[SI], Energy[IP]},
		{"mass", Mass[SI], Mass[IP]}, {"height", Height[SI], Height[IP]}, {"area", Area[SI], Area[IP]},
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
