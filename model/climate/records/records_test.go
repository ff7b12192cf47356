// Package records holds the tests of what is estimated, generated and read of a
// climate against recorded weather: that of testdata/reference/weather, whose README
// names the sources.
package records

import (
	"compress/gzip"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func generate(t testing.TB, s *climate.Station, seed uint64, deviate float64) *hourly.Hours {
	t.Helper()
	if faults := climate.Validate(*s); len(faults) > 0 {
		t.Fatal(faults)
	}
	return hourly.Generate(s, seed, deviate)
}

// aDay is one recorded day: rain mm, temperatures °C, wind m/s.
type aDay struct {
	Date                 time.Time
	Rain, Max, Min, Wind float64
}

// daily reads the days recorded at "Seattle" or "New York", 2012 to 2015.
func daily(t testing.TB, location string) []aDay {
	var days []aDay
	for _, row := range rows(t, "daily.csv") {
		if row[0] != location {
			continue
		}
		date := must(time.Parse(time.DateOnly, row[1]))
		v := numbers(t, row[2:6]...)
		days = append(days, aDay{date, v[0], v[1], v[2], v[3]})
	}
	if len(days) != 1461 {
		t.Fatalf("%s: %d days, expected four years", location, len(days))
	}
	return days
}

// month is one recorded month: °C, mm, m/s, hours of sunshine; NaN where it is
// missing.
type month struct {
	Year, Month                        int // Month 0–11
	Temp, Min, Max, Rain, Wind, Shines float64
}

// monthly reads the months of 1961 to 2020 of five stations of the table.
func monthly(t testing.TB) map[string][]month {
	out := map[string][]month{}
	for _, r := range rows(t, "monthly_series.csv") {
		v := numbers(t, r[1:]...)
		out[r[0]] = append(out[r[0]], month{int(v[0]), int(v[1]) - 1, v[2], v[3], v[4], v[5], v[6], v[7]})
	}
	return out
}

// record is an hourly record and the station of the table it is compared with.
type record struct {
	Name, Station string
	Typical       bool // a typical year of NREL with sun, its rain in steps of 0.25 mm
}

// records are those of testdata/reference/weather.
var records = []record{
	{"ie_belmullet_2017", "valentia", false}, {"ie_dublin_2017", "dublin", false},
	{"us_sea_2014", "seattle", false}, {"us_jfk_2013", "new_york", false},
	{"tmy3_quillayute", "quillayute", true}, {"tmy3_boston", "boston", true}, {"tmy3_chicago", "chicago", true},
}

// Hours reads the record.
func (r record) Hours(t testing.TB) (*hourly.Hours, *weatherfile.Place) {
	text := must(gzip.NewReader(open(t, r.Name+".csv.gz")))
	s := climatetest.Station(t, r.Station)
	h, p, err := weatherfile.Read(r.Name, text, &s)
	if err != nil {
		t.Fatal(err)
	}
	return h, p
}

// open opens a file of testdata/reference/weather until the test is over.
func open(t testing.TB, name string) *os.File {
	f := must(os.Open("../../../testdata/reference/weather/" + name))
	t.Cleanup(func() { f.Close() })
	return f
}

// rows reads the rows of a table below its header.
func rows(t testing.TB, name string) [][]string {
	return must(csv.NewReader(open(t, name)).ReadAll())[1:]
}

// numbers are the cells of a row, NaN for a blank one.
func numbers(t testing.TB, cells ...string) []float64 {
	out := make([]float64, len(cells))
	for i, c := range cells {
		if out[i] = math.NaN(); c != "" {
			out[i] = must(strconv.ParseFloat(c, 64))
		}
	}
	return out
}

// airfieldIndex returns the annual airfield index in l/m²a for a wall facing
// orientation (degrees clockwise from north), over hours of wind (m/s at 10 m, open
// country), its direction and rain (mm) that span the given number of years (> 0):
// what the estimate of package rain is held against. Source: ISO 15927-3:2009,
// clause 4.
func airfieldIndex(h *hourly.Hours, years, orientation float64) float64 {
	sum := 0.0
	for k, r := range h.Rain {
		if c := math.Cos((h.WindFrom[k] - orientation) * math.Pi / 180); c > 0 && r > 0 {
			sum += 2.0 / 9 * h.Wind[k] * math.Pow(r, 8.0/9) * c
		}
	}
	return sum / years
}
