package screen

import (
	"math"
	"testing"
)

// By hand: (2.0 − 0.5) W/m²K over 60 000 K·h is 90 000 Wh/m², 90 kWh/m²a.
func TestSaved(t *testing.T) {
	if got := savedHeat(2, 0.5, 60000); math.Abs(got-90) > 1e-12 {
		t.Errorf("saved %v kWh/m²a", got)
	}
	if got := savedHeat(1, 1, 60000); got != 0 {
		t.Errorf("nothing changed, saved %v", got)
	}
	if got := savedHeat(1, 1.5, 60000); math.Abs(got+30) > 1e-12 {
		t.Errorf("a worse wall saves %v, expected -30", got)
	}
}

func TestPerRisk(t *testing.T) {
	for _, c := range [][3]float64{{90, 0.5, 180}, {90, 1.5, 60}, {90, 0.1, 900}, {90, 0.02, 900}, {90, 0, 900}, {0, 0.5, 0}} {
		if got := perRisk(c[0], c[1]); math.Abs(got-c[2]) > 1e-9 {
			t.Errorf("%v kWh/m²a at %v: %v, expected %v", c[0], c[1], got, c[2])
		}
	}
}
