package simulate

import (
	"math"
	"math/cmplx"
	"testing"
)

// The face of a half space under a periodic air temperature swings by
// |1/(1 + R_se·√(iω)·b)| of it: the surface condition of periodic conduction, as in
// handbooks of heat transfer, in complex numbers.
func TestFaceFollowsTheAirsDailySwing(t *testing.T) {
	for _, b := range []float64{0, 300, 1000, 1500, 2500} {
		want := cmplx.Abs(1 / (1 + complex(planeRse*b, 0)*cmplx.Sqrt(complex(0, 2*math.Pi/86400))))
		if got := follows(b); math.Abs(got-want) > 1e-12 {
			t.Errorf("b = %g: %g, want %g", b, got, want)
		}
	}
}
