package workbook

import (
	"math"
	"strconv"
	"testing"
)

// linear returns the linear-light channels of a colour written RRGGBB (sRGB, IEC
// 61966-2-1, with the threshold that WCAG 2.1 prints).
func linear(t *testing.T, hex string) (c [3]float64) {
	t.Helper()
	n, err := strconv.ParseUint(hex, 16, 32)
	if err != nil || len(hex) != 6 {
		t.Fatalf("%q is no colour", hex)
	}
	for i := range c {
		x := float64(n>>(16-8*i)&255) / 255
		if x <= 0.03928 {
			c[i] = x / 12.92
		} else {
			c[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return c
}

// luminance is the relative luminance of WCAG 2.1.
func luminance(t *testing.T, hex string) float64 {
	c := linear(t, hex)
	return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
}

// WCAG 2.1 success criterion 1.4.3: text has a contrast of 4.5 at least.
func TestTextIsReadable(t *testing.T) {
	for _, c := range append(append([]tint{}, verdictTints[:]...), beyondTint, headTint, tint{fill: barColour, ink: "000000"}) {
		a, b := luminance(t, c.fill), luminance(t, c.ink)
		if ratio := (max(a, b) + 0.05) / (min(a, b) + 0.05); ratio < 4.5 {
			t.Errorf("%s on %s: contrast %.1f", c.ink, c.fill, ratio)
		}
	}
}

// Whoever sees no colours at all still tells neighbouring verdicts apart: they
// get darker as they get worse, by at least 10 units of CIE 1976 lightness (the
// bound is ours), and no two have the same cut of type.
func TestVerdictsDifferWithoutColour(t *testing.T) {
	lightness := func(hex string) float64 { return 116*math.Cbrt(luminance(t, hex)) - 16 } // CIE 15, above Y = 0.008856
	for i := 1; i < len(verdictTints); i++ {
		if d := lightness(verdictTints[i-1].fill) - lightness(verdictTints[i].fill); d < 10 {
			t.Errorf("%s and %s differ by %.1f in lightness", verdictTints[i-1].fill, verdictTints[i].fill, d)
		}
		for _, other := range verdictTints[:i] {
			if other.bold == verdictTints[i].bold && other.italic == verdictTints[i].italic && other.under == verdictTints[i].under {
				t.Errorf("two verdicts have the same type")
			}
		}
	}
}
