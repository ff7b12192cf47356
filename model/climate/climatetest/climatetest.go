// Package climatetest gives tests the climate table and the recorded weather of
// testdata/reference/weather, whose README names the sources. It is the one place
// below model that opens files or imports config, and only tests import it.
package climatetest

import (
	"compress/gzip"
	"encoding/csv"
	"maps"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"

	"wallsift/config"
	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

var defaults = sync.OnceValues(func() (*config.Loaded, error) { return config.Load(config.Inputs{}) })

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// Table returns the default stations and the zones that they stand for.
func Table(t testing.TB) (map[string]climate.Station, map[string]config.Zone) {
	l := must(defaults())
	return maps.Clone(l.Config.Stations), l.Config.Zones // tests add stations of their own
}

// Station returns one station of the default table.
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
	var days []Day
	for _, row := range Rows(t, "daily.csv") {
		if row[0] != location {
			continue
		}
		date := must(time.Parse(time.DateOnly, row[1]))
		v := Numbers(t, row[2:6]...)
		days = append(days, Day{date, v[0], v[1], v[2], v[3]})
	}
	if len(days) != 1461 {
		t.Fatalf("%s: %d days, expected four years", location, len(days))
	}
	return days
}

// Month is one recorded month: °C, mm, m/s, hours of sunshine; NaN where it is
// missing.
type Month struct {
	Year, Month                        int // Month 0–11
	Temp, Min, Max, Rain, Wind, Shines float64
}

// Monthly reads the months of 1961 to 2020 of five stations of the table.
func Monthly(t testing.TB) map[string][]Month {
	out := map[string][]Month{}
	for _, r := range Rows(t, "monthly_series.csv") {
		v := Numbers(t, r[1:]...)
		out[r[0]] = append(out[r[0]], Month{int(v[0]), int(v[1]) - 1, v[2], v[3], v[4], v[5], v[6], v[7]})
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
	text := must(gzip.NewReader(open(t, r.Name+".csv.gz")))
	s := Station(t, r.Station)
	h, p, err := weatherfile.Read(r.Name, text, &s)
	if err != nil {
		t.Fatal(err)
	}
	return h, p
}

// open opens a file of testdata/reference/weather until the test is over.
func open(t testing.TB, name string) *os.File {
	_, here, _, _ := runtime.Caller(0)
	f := must(os.Open(filepath.Join(filepath.Dir(here), "../../../testdata/reference/weather", name)))
	t.Cleanup(func() { f.Close() })
	return f
}

// Rows reads the rows of a table below its header.
func Rows(t testing.TB, name string) [][]string {
	return must(csv.NewReader(open(t, name)).ReadAll())[1:]
}

// Numbers are the cells of a row, NaN for a blank one.
func Numbers(t testing.TB, cells ...string) []float64 {
	out := make([]float64, len(cells))
	for i, c := range cells {
		if out[i] = math.NaN(); c != "" {
			out[i] = must(strconv.ParseFloat(c, 64))
		}
	}
	return out
}

// AirfieldIndex returns the annual airfield index in l/m²a for a wall facing
// orientation (degrees clockwise from north), over hours of wind (m/s at 10 m, open
// country), its direction and rain (mm) that span the given number of years (> 0):
// what the estimate of package rain is held against. Source: ISO 15927-3:2009,
// clause 4.
func AirfieldIndex(h *hourly.Hours, years, orientation float64) float64 {
	sum := 0.0
	for k, r := range h.Rain {
		if c := math.Cos((h.WindFrom[k] - orientation) * math.Pi / 180); c > 0 && r > 0 {
			sum += 2.0 / 9 * h.Wind[k] * math.Pow(r, 8.0/9) * c
		}
	}
	return sum / years
}
