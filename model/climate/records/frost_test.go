package records

import (
	"math"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
)

// Days whose minimum lies below and maximum above 0 °C, counted at Seattle and
// New York 2012–2015. Fed with the monthly means of the same days, the method
// alone is tested; fed with the row of the table, the row too. A year's count
// scatters by about 10 days (from memory), a four-year mean by 5: the method is
// allowed 25 % + 3 days, the row 25 % + 3 + 2·5 days. The method is biased: it counts
// 34 % too many at Seattle and 18 % at New York, probably because daily minima near the
// coast are skewed and spread less than a normal distribution says. For damage
// that is the safe side.
func TestCrossingsAgainstCountedDays(t *testing.T) {
	for id, place := range map[string]string{"seattle": "Seattle", "new_york": "New York"} {
		var s climate.Station
		var n climate.Months
		counted := 0.0
		for _, d := range daily(t, place) {
			m := d.Date.Month() - 1
			n[m]++
			s.TempMin[m] += d.Min
			s.TempMax[m] += d.Max
			if d.Min < 0 && d.Max > 0 {
				counted += 0.25
			}
		}
		for m := range n {
			s.TempMin[m] /= n[m]
			s.TempMax[m] /= n[m]
			s.Temp[m] = (s.TempMin[m] + s.TempMax[m]) / 2
		}
		row := climatetest.Station(t, id)
		method, table := climate.YearSum(climate.Crossings(&s, 0, 0)), climate.YearSum(climate.Crossings(&row, 0, 0))
		t.Logf("%s: counted %.1f, method on the same days %.1f, row %.1f", id, counted, method, table)
		if math.Abs(method-counted) > 0.25*counted+3 {
			t.Errorf("%s: method %.1f days, counted %.1f", id, method, counted)
		}
		if math.Abs(table-counted) > 0.25*counted+13 {
			t.Errorf("%s: row %.1f days, counted %.1f", id, table, counted)
		}
	}
}
