package records

import (
	"strings"
	"testing"

	"wallsift/model/climate/climatetest"
	"wallsift/model/climate/weatherfile"
)

// What was measured is believed at its station.
func TestRecordsAreBelieved(t *testing.T) {
	for _, r := range records {
		h, p := r.Hours(t)
		own := climatetest.Station(t, r.Station)
		own.ID = r.Station
		err := weatherfile.Check(r.Name, h, p, &own)
		if r.Name == "tmy3_chicago" { // had no gauge in its January
			if err == nil || !strings.Contains(err.Error(), "none in month 1") {
				t.Errorf("%s: %v", r.Name, err)
			}
		} else if err != nil {
			t.Errorf("%s: %v", r.Name, err)
		}
		t.Logf("%s: %q", r.Name, p.Notes)
	}
}
