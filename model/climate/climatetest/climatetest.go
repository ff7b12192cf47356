// Package climatetest reads the climate table and the recorded weather for
// tests. It is the one place below model that opens files, and only tests
// import it.
package climatetest

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"
	"time"

	"go.yaml.in/yaml/v3"

	"wallsift/model/climate"
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

func rows(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(root(), "testdata", "reference", "weather", name))
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

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
