package climate_test

import (
	"strconv"
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
		if got := koppen(&c.s); got != c.koppen {
			t.Errorf("%s: Köppen %s, expected %s", c.name, got, c.koppen)
		}
		if got := ashraeZone(&c.s); got != c.zone {
			t.Errorf("%s: zone %s, expected %s", c.name, got, c.zone)
		}
	}
}

// ashraeZone returns the climate zone, "0A" to "8", that the definitions of
// ASHRAE 169-2013 (annex A, bounds from memory) give for the row. Degree-days
// are computed from the monthly means (base 18.3 and 10 °C), so a place within
// some 100 K·d of a bound may fall on the other side of it than in a published
// list, which rests on daily records or on county lines.
func ashraeZone(s *climate.Station) string {
	hdd := climate.HeatingDegreeHours(s, 65.0/1.8-32/1.8) / 24
	// Heating less cooling degree-days of one base are the plain differences.
	cdd := climate.HeatingDegreeHours(s, 10)/24 - 365*(10-climate.YearMean(s.Temp))
	n := thermalZone(hdd, cdd)
	zone := strconv.Itoa(n)
	switch {
	case n >= 7:
		return zone
	case n >= 3 && n <= 5 && marine(s):
		return zone + "C"
	case dry(s):
		return zone + "B"
	}
	return zone + "A"
}

func thermalZone(hdd, cdd float64) int {
	switch {
	case cdd > 6000:
		return 0
	case cdd > 5000:
		return 1
	case cdd > 3500:
		return 2
	case hdd <= 2000:
		return 3
	case hdd <= 3000:
		return 4
	case hdd <= 4000:
		return 5
	case hdd <= 5000:
		return 6
	case hdd <= 7000:
		return 7
	}
	return 8
}

// marine: coldest month between −3 and 18 °C, warmest below 22 °C, at least
// four months above 10 °C, and the wettest month of the cold half at least
// three times as wet as the driest of the rest. The last condition is why the
// British Isles are not marine by this standard.
func marine(s *climate.Station) bool {
	e := seasonsOf(s)
	return e.coldest > -3 && e.coldest < 18 && e.warmest < 22 && e.warmMonths >= 4 &&
		e.winterWettest >= 3*e.summerDriest
}

// dry: precipitation below a bound that grows with the yearly mean temperature
// and with the share of rain that falls in the warm half.
func dry(s *climate.Station) bool {
	e := seasonsOf(s)
	return e.rain < dryBound(e)
}

// dryBound returns 20·(θ + 14), 20·(θ + 7) or 20·θ mm, for rain mostly in the
// warm half, in neither, mostly in the cold half. ASHRAE 169 and Köppen–Geiger
// share it.
func dryBound(e seasons) float64 {
	switch {
	case e.summerRain >= 0.7*e.rain:
		return 20 * (e.mean + 14)
	case e.summerRain <= 0.3*e.rain:
		return 20 * e.mean
	}
	return 20 * (e.mean + 7)
}

// seasons holds what both classifications ask of a row. Temperatures in °C,
// rain in mm; summer is the half of the year with the high sun.
type seasons struct {
	mean, coldest, warmest      float64
	warmMonths                  int // months above 10 °C
	rain, summerRain            float64
	summerDriest, summerWettest float64
	winterDriest, winterWettest float64
}

func seasonsOf(s *climate.Station) seasons {
	e := seasons{mean: climate.YearMean(s.Temp), rain: climate.YearSum(s.Rain), coldest: s.Temp[0], warmest: s.Temp[0]}
	e.summerDriest, e.winterDriest = 1e9, 1e9
	for m := range 12 {
		e.coldest = min(e.coldest, s.Temp[m])
		e.warmest = max(e.warmest, s.Temp[m])
		if s.Temp[m] > 10 {
			e.warmMonths++
		}
		if climate.HighSun(s.Latitude, m) {
			e.summerRain += s.Rain[m]
			e.summerDriest = min(e.summerDriest, s.Rain[m])
			e.summerWettest = max(e.summerWettest, s.Rain[m])
		} else {
			e.winterDriest = min(e.winterDriest, s.Rain[m])
			e.winterWettest = max(e.winterWettest, s.Rain[m])
		}
	}
	return e
}

// koppen returns the Köppen–Geiger class of the row after Peel, Finlayson &
// McMahon 2007, table 1 (0 °C bound between C and D). Where a row meets both the
// dry-summer and the dry-winter test, the wetter half of the year decides.
func koppen(s *climate.Station) string {
	e := seasonsOf(s)
	bound := dryBound(e)
	switch {
	case e.warmest < 10:
		if e.warmest > 0 {
			return "ET"
		}
		return "EF"
	case e.rain < bound:
		return arid(e, bound)
	case e.coldest >= 18:
		return tropical(e)
	case e.coldest > 0:
		return "C" + rainRegime(e) + summerHeat(e, "c")
	}
	cold := "c"
	if e.coldest < -38 {
		cold = "d"
	}
	return "D" + rainRegime(e) + summerHeat(e, cold)
}

func arid(e seasons, bound float64) string {
	class := "BS"
	if e.rain < bound/2 {
		class = "BW"
	}
	if e.mean >= 18 {
		return class + "h"
	}
	return class + "k"
}

func tropical(e seasons) string {
	driest := min(e.summerDriest, e.winterDriest)
	switch {
	case driest >= 60:
		return "Af"
	case driest >= 100-e.rain/25:
		return "Am"
	}
	return "Aw"
}

func rainRegime(e seasons) string {
	drySummer := e.summerDriest < 40 && e.summerDriest < e.winterWettest/3
	dryWinter := e.winterDriest < e.summerWettest/10
	switch {
	case drySummer && (!dryWinter || e.summerRain < e.rain/2):
		return "s"
	case dryWinter:
		return "w"
	}
	return "f"
}

func summerHeat(e seasons, otherwise string) string {
	switch {
	case e.warmest >= 22:
		return "a"
	case e.warmMonths >= 4:
		return "b"
	}
	return otherwise
}
