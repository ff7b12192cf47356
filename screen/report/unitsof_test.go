package report

import "testing"

// Lengths and temperatures in texts: 25.4 mm are an inch, and the fixed points of
// the Fahrenheit scale (NIST Special Publication 811, appendix B, from memory).
func TestProse(t *testing.T) {
	ip, si := Units{IP: true, Layer: ipUnits.thickness, u: &ipUnits}, Units{u: &siUnits}
	for text, want := range map[string]string{
		"a coat of 25.4 mm, and 8 mm of parge":     "a coat of 1 in, and 0.31 in of parge",
		"5-10 mm, 25.4–50.8 mm":                    "0.2-0.39 in, 1–2 in",
		"a line from 0 to 30 degC":                 "a line from 32 to 86 degF",
		"cycles through -40 °C":                    "cycles through -40 °F",
		"for each square metre of wall":            "for each square foot of wall",
		"square metres":                            "square feet",
		"0.1 kg/m2 by air leaks, ISO 13788, 600 m": "0.1 kg/m2 by air leaks, ISO 13788, 600 m",
		"saved per unit of risk (kWh/m2a by use)":  "saved per unit of risk (kBtu/ft2a by use)",
		"an R of 0.1761102 m2K/W":                  "an R of 1 hft2F/Btu",
		"U 5.678263 W/m2K, 10 kWh/m2a":             "U 1 Btu/hft2F, 3.2 kBtu/ft2a",
		"EN 1062-3 mmx, class W3":                  "EN 1062-3 mmx, class W3",
	} {
		if got := ip.Prose(text); got != want {
			t.Errorf("%q becomes %q, expected %q", text, got, want)
		}
		if got := si.Prose(text); got != text {
			t.Errorf("%q becomes %q in SI", text, got)
		}
	}
}
