package climate_test

import (
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
)

func TestTableIsSane(t *testing.T) {
	stations, zones := climatetest.Table(t)
	id := regexp.MustCompile(`^[a-z0-9_]+$`)
	if len(stations) < 26 {
		t.Errorf("%d stations, expected at least 26", len(stations))
	}
	for _, name := range slices.Sorted(maps.Keys(stations)) {
		s := stations[name]
		if !id.MatchString(name) {
			t.Errorf("%s: id is not snake case", name)
		}
		for _, err := range climate.Validate(s) {
			t.Errorf("%s: %v", name, err)
		}
		for m := range 12 {
			// The mean of the extremes and the true mean differ by tenths.
			if mid := (s.TempMin[m] + s.TempMax[m]) / 2; math.Abs(mid-s.Temp[m]) > 0.85 {
				t.Errorf("%s, month %d: mean %v is far from the middle of the extremes, %.2f", name, m+1, s.Temp[m], mid)
			}
		}
		if s.Label == "" || !strings.Contains(s.Source, "from memory") {
			t.Errorf("%s: label or honest source is missing", name)
		}
	}
	for name, z := range zones {
		if !id.MatchString(name) || z.Label == "" || z.Source == "" {
			t.Errorf("zone %s: bad id, or no label or source", name)
		}
		if _, ok := stations[z.Station]; !ok {
			t.Errorf("zone %s: no station %q", name, z.Station)
		}
	}
}

// Every class the table claims follows from its own figures, and an ASHRAE zone
// points to a station of that zone.
func TestTableClasses(t *testing.T) {
	stations, zones := climatetest.Table(t)
	for _, name := range slices.Sorted(maps.Keys(stations)) {
		s := stations[name]
		hdd := climate.HeatingDegreeHours(&s, 18.333) / 24
		if got := ashraeZone(&s); got != s.Zone {
			t.Errorf("%s: zone %s claimed, %s computed (%.0f K·d, %.0f mm)", name, s.Zone, got, hdd, climate.YearSum(s.Rain))
		}
		if got := koppen(&s); got != s.Koppen {
			t.Errorf("%s: Köppen class %s claimed, %s computed", name, s.Koppen, got)
		}
	}
	for name, z := range zones {
		if name[0] >= '0' && name[0] <= '9' && !strings.EqualFold(stations[z.Station].Zone, name) {
			t.Errorf("zone %s points to %s, a station of zone %s", name, z.Station, stations[z.Station].Zone)
		}
	}
}

func TestValidateFinds(t *testing.T) {
	good := climatetest.Station(t, "london")
	cases := map[string]func(*climate.Station){
		"mean below min":      func(s *climate.Station) { s.Temp[3] = s.TempMin[3] - 1 },
		"too many rain days":  func(s *climate.Station) { s.RainDays[1], s.Rain[1] = 29, 100 },
		"rain below its days": func(s *climate.Station) { s.Rain[5] = 2 },
		"sun at night":        func(s *climate.Station) { s.Sun[11] = 150 },
		"not a number":        func(s *climate.Station) { s.Rain[4] = math.NaN() },
	}
	for name, spoil := range cases {
		s := good
		spoil(&s)
		if len(climate.Validate(s)) == 0 {
			t.Errorf("%s: not found", name)
		}
	}
}
