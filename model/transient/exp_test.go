package transient

import (
	"math"
	"testing"
)

func TestExpAgainstMath(t *testing.T) {
	for x := -699.0; x < 699; x += 0.317 {
		if a, b := exp(x), math.Exp(x); math.Abs(a-b) > 1e-12*b {
			t.Fatalf("exp(%g) = %g, math.Exp %g", x, a, b)
		}
	}
	if !math.IsNaN(exp(math.NaN())) {
		t.Error("NaN is lost")
	}
}
