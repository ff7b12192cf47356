package climate

// Koppen returns the Köppen–Geiger class of the row after Peel, Finlayson &
// McMahon 2007, table 1 (0 °C bound between C and D). Where a row meets both the
// dry-summer and the dry-winter test, the wetter half of the year decides.
func Koppen(s *Station) string {
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
