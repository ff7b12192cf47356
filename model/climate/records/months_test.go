package records

import (
	"maps"
	"math"
	"slices"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
)

// Every row that an open record covers, against it: NOAA normals of 1981 to 2010
// (humidity and wind of 1984 or earlier to 2018) and the months of 1991 to 2020 of
// Irish and British stations. Means of the year: temperature to 0.5 K, its
// daily extremes to 0.75 K, rain to 10 %, humidity to 0.04, wind to 15 %; single months: 1.2 K.
//
// The humidity is the mean of a morning and an afternoon reading, the wettest and
// the driest hours about, which stands within 0.02 of the mean of a day.
func TestRowsAgainstRecords(t *testing.T) {
	stations, _ := climatetest.Table(t)
	records := normals(t)
	for id, months := range monthly(t) {
		records[id] = thirtyYears(months)
	}
	for _, id := range slices.Sorted(maps.Keys(records)) {
		s := stations[id]
		for _, c := range []struct {
			field string
			row   climate.Months
			off   func(row, record float64) float64
			allow float64
		}{
			{"temp", s.Temp, minus, 0.5}, {"temp_min", s.TempMin, minus, 0.75}, {"temp_max", s.TempMax, minus, 0.75},
			{"rain", s.Rain, ratio, 0.10}, {"rh", s.RH, minus, 0.04}, {"wind", s.Wind, ratio, 0.15},
		} {
			record, ok := records[id][c.field]
			if !ok || math.IsNaN(record[0]) {
				continue
			}
			off := c.off(climate.YearMean(c.row), climate.YearMean(record))
			t.Logf("%s, %s: off by %+.2f", id, c.field, off)
			if math.Abs(off) > c.allow {
				t.Errorf("%s, %s: %.3v in the row, %.3v recorded", id, c.field, climate.YearMean(c.row), climate.YearMean(record))
			}
			for m := range 12 {
				if c.field == "temp" && math.Abs(c.row[m]-record[m]) > 1.2 {
					t.Errorf("%s, %s, month %d: %v in the row, %.1f recorded", id, c.field, m+1, c.row[m], record[m])
				}
			}
		}
	}
}

// normals reads long-term monthly figures of stations of the table, by station and
// by the field of the row they stand for.
func normals(t *testing.T) map[string]map[string]climate.Months {
	out := map[string]map[string]climate.Months{}
	for _, r := range rows(t, "noaa_normals.csv") {
		if out[r[0]] == nil {
			out[r[0]] = map[string]climate.Months{}
		}
		out[r[0]][r[1]] = climate.Months(numbers(t, r[2:]...))
	}
	return out
}

func minus(row, record float64) float64 { return row - record }

func ratio(row, record float64) float64 { return row/record - 1 }

// thirtyYears are the means over 1991 to 2020.
func thirtyYears(months []month) map[string]climate.Months {
	out := map[string]climate.Months{}
	for field, of := range map[string]func(*month) float64{
		"temp": func(m *month) float64 { return m.Temp }, "temp_min": func(m *month) float64 { return m.Min },
		"temp_max": func(m *month) float64 { return m.Max }, "rain": func(m *month) float64 { return m.Rain },
		"wind": func(m *month) float64 { return m.Wind },
	} {
		var sum, n climate.Months
		for i := range months {
			if v := of(&months[i]); months[i].Year >= 1991 && !math.IsNaN(v) {
				sum[months[i].Month] += v
				n[months[i].Month]++
			}
		}
		for m := range sum {
			sum[m] /= n[m]
		}
		out[field] = sum
	}
	return out
}

// Rain days of the two rows that daily records cover: four years against a long
// mean may differ by three standard errors, σ of a year 12 days (from memory).
func TestRainDaysAgainstRecordedDays(t *testing.T) {
	for id, place := range map[string]string{"seattle": "Seattle", "new_york": "New York"} {
		s := climatetest.Station(t, id)
		wet := 0.0
		for _, d := range daily(t, place) {
			if d.Rain >= 1 {
				wet += 0.25
			}
		}
		if row := climate.YearSum(s.RainDays); math.Abs(row-wet) > 3*12.0/2 {
			t.Errorf("%s: %.0f rain days a year, recorded %.0f", id, row, wet)
		}
	}
}

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
			for _, d := range daily(t, place) {
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
