package climate_test

import (
	"math"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
)

// 1 − exp(−0.01·√(π/(1e-6·86400))) = 0.0585, worked by hand: √36.36 = 6.030.
func TestDamping(t *testing.T) {
	if got := climate.Damping(0.01, 1e-6); math.Abs(got-0.0585) > 1e-4 {
		t.Errorf("damping %v, expected 0.0585", got)
	}
}

func TestFaceAndClimates(t *testing.T) {
	stations, _ := climatetest.Table(t)
	for id, s := range stations {
		air := climate.Crossings(&s, 0, 0)
		damped := climate.Crossings(&s, 0.5, 0)
		wet := climate.WetCrossings(&s, 0, 0)
		for m := range 12 {
			if air[m] < 0 || air[m] > float64(climate.Days[m]) || damped[m] > air[m]+1e-9 || wet[m] > air[m] {
				t.Errorf("%s, month %d: air %v, damped %v, wet %v days", id, m+1, air[m], damped[m], wet[m])
			}
		}
	}
	year := func(id string, days func(s *climate.Station, damping, warming float64) climate.Months) float64 {
		s := stations[id]
		return climate.YearSum(days(&s, 0, 0))
	}
	// Heat from inside keeps frost off a mild-winter face; insulation takes it away.
	s := stations["glasgow"]
	bare := climate.YearSum(climate.Crossings(&s, 0, 1.5))
	insulated := climate.YearSum(climate.Crossings(&s, 0, 0.2))
	if bare >= insulated {
		t.Errorf("glasgow: %v crossings bare, %v insulated", bare, insulated)
	}
	// Common knowledge of the trade, no source: Atlantic coasts see next to no
	// frost, central Europe and the Great Lakes many wet cycles.
	if a, b := year("valentia", climate.Crossings), year("san_francisco", climate.WetCrossings); a > 15 || b > 1 {
		t.Errorf("mild coasts: %.1f crossings, %.1f wet ones", a, b)
	}
	for _, id := range []string{"munich", "buffalo", "prague", "new_york"} {
		if a, b := year(id, climate.WetCrossings), year("plymouth", climate.WetCrossings); a <= b {
			t.Errorf("%s: %.1f wet crossings, no harder than plymouth's %.1f", id, a, b)
		}
	}
}
