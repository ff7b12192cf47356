// Package climatetest reads the climate table and the recorded weather of
// testdata/reference/weather for tests; its README names the sources. It is the one
// place below model that opens files, and only tests import it.
package climatetest

import (
	"compress/gzip"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"
	"time"

	"go.yaml.in/yaml/v3"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

// root is the module's folder, found from this file.
func root() string {
	_, file, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(file), "..", "..", "..")
}

// Zone is one row of the zones table.
type Zone struct{ Label, Station, Source string }

// Table reads the default climate table. Unknown fields fail the test.
func Table(t testing.TB) (map[string]climate.Station, map[string]Zone) {
	t.Helper()
	f, err := os.Open(filepath.Join(root(), "config", "defaults", "climates.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var doc struct {
		Stations map[string]climate.Station
		Zones    map[string]Zone
	}
	d := yaml.NewDecoder(f)
	d.KnownFields(true)
	if err := d.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	for id, s := range doc.Stations {
		s.ID = id
		doc.Stations[id] = s
	}
	return doc.Stations, doc.Zones
}

// Station reads one station of the default table.
func Station(t testing.TB, id string) climate.Station {
	t.Helper()
	stations, _ := Table(t)
	s, ok := stations[id]
	if !ok {
		t.Fatalf("no station %q", id)
	}
	return s
}

// Day is one recorded day: rain mm, temperatures °C, wind m/s.
type Day struct {
	Date                 time.Time
	Rain, Max, Min, Wind float64
}

// Daily reads the days recorded at "Seattle" or "New York", 2012 to 2015.
func Daily(t testing.TB, location string) []Day {
	t.Helper()
	var days []Day
	for _, row := range rows(t, "daily.csv") {
		if row[0] != location {
			continue
		}
		date, err := time.Parse(time.DateOnly, row[1])
		if err != nil {
			t.Fatal(err)
		}
		days = append(days, Day{date, number(t, row[2]), number(t, row[3]), number(t, row[4]), number(t, row[5])})
	}
	if len(days) != 1461 {
		t.Fatalf("%s: %d days, expected four years", location, len(days))
	}
	return days
}

// Hour is one hour of the Seattle normals: °C and m/s.
type Hour struct {
	Time       time.Time
	Temp, Wind float64
}

// HourlyNormals reads the hourly normals of Seattle airport, 1981–2010.
func HourlyNormals(t testing.TB) []Hour {
	t.Helper()
	var hours []Hour
	for _, row := range rows(t, "seattle-hourly-normals.csv") {
		at, err := time.Parse("2006-01-02T15:04:05", row[0])
		if err != nil {
			t.Fatal(err)
		}
		hours = append(hours, Hour{at, number(t, row[2]), number(t, row[3])})
	}
	return hours
}

// Month is one recorded month: °C, mm, m/s, hours of sunshine; NaN where it is
// missing.
type Month struct {
	Year, Month                        int // Month 0–11
	Temp, Min, Max, Rain, Wind, Shines float64
}

// Monthly reads the months of 1961 to 2020 of five stations of the table.
func Monthly(t testing.TB) map[string][]Month {
	t.Helper()
	out := map[string][]Month{}
	for _, r := range rows(t, "monthly_series.csv") {
		v := numbers(t, r[1:])
		out[r[0]] = append(out[r[0]], Month{int(v[0]), int(v[1]) - 1, v[2], v[3], v[4], v[5], v[6], v[7]})
	}
	return out
}

// Normals reads long-term monthly figures of stations of the table, by station and
// by the field of the row they stand for.
func Normals(t testing.TB) map[string]map[string]climate.Months {
	t.Helper()
	out := map[string]map[string]climate.Months{}
	for _, r := range rows(t, "noaa_normals.csv") {
		if out[r[0]] == nil {
			out[r[0]] = map[string]climate.Months{}
		}
		out[r[0]][r[1]] = climate.Months(numbers(t, r[2:]))
	}
	return out
}

// Record is an hourly record and the station of the table it is compared with.
type Record struct {
	Name, Station string
	Typical       bool // a typical year of NREL with sun, its rain in steps of 0.25 mm
}

// Records are those of testdata/reference/weather.
var Records = []Record{
	{"ie_belmullet_2017", "valentia", false}, {"ie_dublin_2017", "dublin", false},
	{"us_sea_2014", "seattle", false}, {"us_jfk_2013", "new_york", false},
	{"tmy3_quillayute", "quillayute", true}, {"tmy3_boston", "boston", true}, {"tmy3_chicago", "chicago", true},
}

// Hours reads the record.
func (r Record) Hours(t testing.TB) (*hourly.Hours, *weatherfile.Place) {
	t.Helper()
	f, err := os.Open(reference(r.Name + ".csv.gz"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	text, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	h, p, err := weatherfile.Read(r.Name, text)
	if err != nil {
		t.Fatal(err)
	}
	return h, p
}

func reference(name string) string {
	return filepath.Join(root(), "testdata", "reference", "weather", name)
}

func rows(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open(reference(name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all[1:]
}

// numbers are the cells of a row, NaN for a blank one.
func numbers(t testing.TB, cells []string) []float64 {
	t.Helper()
	out := make([]float64, len(cells))
	for i, c := range cells {
		if out[i] = math.NaN(); c != "" {
			out[i] = number(t, c)
		}
	}
	return out
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
