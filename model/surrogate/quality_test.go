package surrogate

import (
	"math"
	"testing"
)

// By hand: errors 0.1, −0.1, 0.3, −0.1, 0; rms √(0.12/5) = 0.1549.
func TestAgreement(t *testing.T) {
	predicted := []float64{0.6, -1.1, 0.2, -0.05, 0}
	truth := []float64{0.5, -1.0, -0.1, 0.05, 0}
	a := agreement(predicted, truth)
	rms := math.Sqrt(0.12 / 5)
	if a.Count != 5 || math.Abs(a.RMS-rms) > 1e-12 || math.Abs(a.Bias-0.04) > 1e-12 || math.Abs(a.P95-0.3) > 1e-12 {
		t.Errorf("%+v, expected rms %v, bias 0.04, P95 0.3", a, rms)
	}
	// Rows 2 and 3 are on the wrong side; rows 0, 1 and 2 are clear of ±0.155.
	if a.WrongSide != 0.4 || a.Clear != 3 || math.Abs(a.ClearWrong-1.0/3) > 1e-12 {
		t.Errorf("%+v, expected 0.4 on the wrong side, a third of 3 clear ones", a)
	}
	if (agreement(nil, nil) != Agreement{}) {
		t.Error("no rows, no figures")
	}
}
