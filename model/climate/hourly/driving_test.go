package hourly_test

import (
	"maps"
	"math"
	"slices"
	"testing"

	"wallsift/model/climate/climatetest"
	"wallsift/model/climate/hourly"
	"wallsift/model/rain"
)

// Driving rain counted from the hours against the estimate from the monthly
// figures. They share assumptions (hours of rain, wind in rain, the rose), so
// this checks that the hours keep them, not that they are true. What differs:
// the estimate lets snow go by the month's mean, the hours by their own
// temperature. 25 % for every station and orientation, and 5 % of the wall that
// catches most for the lee of a narrow rose.
func TestDrivingRainAgainstNormals(t *testing.T) {
	stations, _ := climatetest.Table(t)
	const seeds = 2
	low, high := 9.0, 0.0
	for _, id := range slices.Sorted(maps.Keys(stations)) {
		s := stations[id]
		f := hourly.Figures(&s, 0)
		var years [seeds]*hourly.Hours
		for i := range years {
			years[i] = generate(t, &s, uint64(i+1), 0).Liquid()
		}
		line := []float64{}
		most := rain.AirfieldFromNormals(&f, f.RainFrom)
		for o := 0.0; o < 360; o += 45 {
			want, got := rain.AirfieldFromNormals(&f, o).Annual, 0.0
			for i := range years {
				got += climatetest.AirfieldIndex(years[i], seeds, o)
			}
			r := got / want
			line = append(line, math.Round(100*r)/100)
			low, high = min(low, r), max(high, r)
			if math.Abs(got-want) > 0.25*want+0.05*most.Annual {
				t.Errorf("%s, %v°: %.0f l/m² from hours, %.0f from the months", id, o, got, want)
			}
		}
		t.Logf("%-14s %.2f", id, line)
	}
	t.Logf("hours over months: %.2f to %.2f", low, high)
}
