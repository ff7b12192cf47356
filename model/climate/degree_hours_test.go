package climate_test

import (
	"math"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
)

// Degree-days counted day by day at Seattle and New York, 2012–2015, against the
// method fed with the monthly means of the same days: a check of the method, not
// of the table. 5 % is what the Erbs method is quoted to reach for a year, from
// memory.
func TestDegreeDaysAgainstCountedDays(t *testing.T) {
	for _, place := range []string{"Seattle", "New York"} {
		for _, base := range []float64{10, 15.5, 18.333} {
			var s climate.Station
			var n climate.Months
			counted := 0.0
			for _, d := range climatetest.Daily(t, place) {
				mean, m := (d.Min+d.Max)/2, d.Date.Month()-1
				s.Temp[m] += mean
				n[m]++
				counted += max(base-mean, 0) / 4
			}
			for m := range n {
				s.Temp[m] /= n[m]
			}
			got := climate.HeatingDegreeHours(&s, base) / 24
			t.Logf("%s, base %.1f: counted %.0f, method %.0f K·d", place, base, counted, got)
			// Low bases leave few degree-days; 40 K·d stands for their noise.
			if d := math.Abs(got - counted); d > 0.05*counted+40 {
				t.Errorf("%s, base %.1f °C: %.0f K·d from monthly means, %.0f counted", place, base, got, counted)
			}
		}
	}
}

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
