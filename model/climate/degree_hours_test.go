package climate_test

import (
	"math"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
)

// Hitchin's formula as in CIBSE TM41:2006, k = 0.71 for the United Kingdom, is a
// second published way from monthly means to degree-days. They share no
// parameter; 5 % for a year.
func TestDegreeDaysAgainstHitchin(t *testing.T) {
	for _, id := range []string{"london", "plymouth", "edinburgh", "glasgow", "aberdeen"} {
		s := climatetest.Station(t, id)
		want := 0.0
		for m, temp := range s.Temp {
			d := 15.5 - temp
			want += float64(climate.Days[m]) * d / (1 - math.Exp(-0.71*d))
		}
		got := climate.HeatingDegreeHours(&s, 15.5) / 24
		t.Logf("%s: %.0f, Hitchin %.0f K·d", id, got, want)
		if math.Abs(got/want-1) > 0.05 {
			t.Errorf("%s: %.0f K·d, Hitchin %.0f", id, got, want)
		}
	}
}
