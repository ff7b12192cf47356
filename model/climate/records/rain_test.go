package records

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
				got += airfieldIndex(years[i], seeds, o)
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

// Hand-worked hours of ISO 15927-3, wall facing south-west (225°):
//
//	1: 9 m/s from 225°, 1 mm: 2/9·9·1·cos 0          = 2.0000
//	2: 4.5 m/s from 285°, 1 mm: 2/9·4.5·1·cos 60°    = 0.5000
//	3: 6 m/s from 225°, 8 mm: 8^(8/9) = 2^(8/3) = 6.3496; 2/9·6·6.3496 = 8.4661
//	4: 9 m/s from 45°, 5 mm: wind on the back        = 0
//	5: 9 m/s from 225°, dry                          = 0
//	sum 10.9661; over half a year twice that
func TestAirfieldIndexByHand(t *testing.T) {
	near := func(what string, got, want, tolerance float64) {
		if math.Abs(got-want) > tolerance {
			t.Errorf("%s: %v, expected %v", what, got, want)
		}
	}
	hours := &hourly.Hours{Wind: []float64{9, 4.5, 6, 9, 9}, WindFrom: []float64{225, 285, 225, 45, 225}, Rain: []float64{1, 1, 8, 5, 0}}
	near("one year", airfieldIndex(hours, 1, 225), 10.9661, 1e-4)
	near("half a year", airfieldIndex(hours, 0.5, 225), 21.9322, 2e-4)
	// The back wall (45°) catches hour 4 alone: 5^(8/9) = 4.1815; 2·4.1815 = 8.3630.
	near("back wall", airfieldIndex(hours, 1, 45), 8.3630, 1e-3)
}

// The rain of Seattle and New York, day by day with the recorded wind, against
// the estimate for the same four years. The record has no direction and no
// hours: a face that always turns into the wind is compared, with the rain of a
// day spread evenly over 24 h as the lower case and falling within 3 h as the
// upper one. Σ r^(8/9) lies between them whatever the hours were.
func TestNormalsAgainstRecordedDays(t *testing.T) {
	for id, place := range map[string]string{"seattle": "Seattle", "new_york": "New York"} {
		s := climatetest.Station(t, id)
		slow, fast := 0.0, 0.0
		for _, d := range daily(t, place) {
			if d.Rain <= 0 || (d.Min+d.Max)/2 < 0 {
				continue
			}
			one := func(hours float64) float64 {
				return 2.0 / 9 * d.Wind * hours * math.Pow(d.Rain/hours, 8.0/9) / 4
			}
			slow += one(24)
			fast += one(3)
		}
		got := 0.0
		for o := range 36 {
			got += math.Pi / 36 * rain.AirfieldFromNormals(&s, float64(10*o)).Annual
		}
		t.Logf("%s: estimate %.0f l/m²a into the wind; days give %.0f to %.0f", id, got, fast, slow)
		if got < fast/1.25 || got > slow*1.25 { // 1.25: four years against thirty
			t.Errorf("%s: estimate %.0f l/m²a into the wind; days give %.0f to %.0f", id, got, fast, slow)
		}
	}
}
