package climate_test

import (
	"testing"

	"wallsift/model/climate"
)

// Corner cases of Peel et al. 2007, table 1, and of the bounds of ASHRAE 169,
// on made-up rows. Zones follow from degree-days by hand: a winter half of 182
// days at 8, 5, −20 °C gives 1880, 2430, 6970 K·d below 18.3 °C; the last one's
// summer at 17 °C adds some 430 and passes 7000.
func TestClassCorners(t *testing.T) {
	flat := func(temp, rain float64) climate.Station {
		s := climate.Station{Latitude: 10}
		for m := range 12 {
			s.Temp[m], s.Rain[m] = temp, rain
		}
		return s
	}
	swing := func(latitude, winter, summer, winterRain, summerRain float64) climate.Station {
		s := climate.Station{Latitude: latitude}
		for m := range 12 {
			if (m >= 3 && m <= 8) == (latitude > 0) {
				s.Temp[m], s.Rain[m] = summer, summerRain
			} else {
				s.Temp[m], s.Rain[m] = winter, winterRain
			}
		}
		return s
	}
	cases := []struct {
		name         string
		s            climate.Station
		koppen, zone string
	}{
		{"wet tropics", flat(27, 150), "Af", "0A"},
		{"savanna", swing(10, 25, 27, 5, 150), "Aw", "1A"},
		{"hot desert", flat(25, 2), "BWh", "1B"},
		{"ice sheet", flat(-20, 30), "EF", "8"},
		{"tundra", swing(70, -15, 5, 30, 30), "ET", "8"},
		{"dry summer", swing(40, 8, 25, 100, 10), "Csa", "3A"},
		{"dry summer, south", swing(-40, 8, 25, 100, 10), "Csa", "3A"},
		{"dry winter", swing(40, 5, 25, 5, 150), "Cwa", "4A"},
		{"cold, dry winter", swing(55, -20, 17, 5, 80), "Dwb", "8"},
		{"marine", swing(45, 6, 16, 100, 20), "Csb", "4C"},
		{"same, even rain", swing(45, 6, 16, 60, 60), "Cfb", "4A"},
	}
	for _, c := range cases {
		if got := climate.Koppen(&c.s); got != c.koppen {
			t.Errorf("%s: Köppen %s, expected %s", c.name, got, c.koppen)
		}
		if got := climate.ASHRAEZone(&c.s); got != c.zone {
			t.Errorf("%s: zone %s, expected %s", c.name, got, c.zone)
		}
	}
}
