package climate

import "strconv"

// ASHRAEZone returns the climate zone, "0A" to "8", that the definitions of
// ASHRAE 169-2013 (annex A, bounds from memory) give for the row. Degree-days
// are computed from the monthly means (base 18.3 and 10 °C), so a place within
// some 100 K·d of a bound may fall on the other side of it than in a published
// list, which rests on daily records or on county lines.
func ASHRAEZone(s *Station) string {
	hdd := YearSum(HeatingDegreeDays(s, 65.0/1.8-32/1.8))
	cdd := YearSum(CoolingDegreeDays(s, 10))
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
func marine(s *Station) bool {
	e := seasonsOf(s)
	return e.coldest > -3 && e.coldest < 18 && e.warmest < 22 && e.warmMonths >= 4 &&
		e.winterWettest >= 3*e.summerDriest
}

// dry: precipitation below a bound that grows with the yearly mean temperature
// and with the share of rain that falls in the warm half.
func dry(s *Station) bool {
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

func seasonsOf(s *Station) seasons {
	e := seasons{mean: YearMean(s.Temp), rain: YearSum(s.Rain), coldest: s.Temp[0], warmest: s.Temp[0]}
	e.summerDriest, e.winterDriest = 1e9, 1e9
	for m := range 12 {
		e.coldest = min(e.coldest, s.Temp[m])
		e.warmest = max(e.warmest, s.Temp[m])
		if s.Temp[m] > 10 {
			e.warmMonths++
		}
		if HighSun(s.Latitude, m) {
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
