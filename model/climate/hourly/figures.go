package hourly

import (
	"math"

	"wallsift/model/climate"
)

// OneInTen is the standard normal deviate passed in one year of ten.
const OneInTen = 1.2816

// How years differ: spread is the standard deviation of one year about the mean,
// with the correlation of the quantity with the year's driving rain, Σ rain·wind
// over the months. A year that is one in ten in driving rain has with·spread·1.28
// of each, so that it is one in ten as a whole. Winters are left as they are: wet
// ones are as often mild as cold (correlation 0.0).
//
// Source: the months of 1961 to 2020 at Valentia, Dublin, London, Glasgow and
// Edinburgh, less their trend, rounded means over the stations. See
// TestYearsDiffer, which repeats them from testdata/reference/weather. Stations
// without wind give correlations with rain in place of driving rain.
const (
	// rainSpread over the root of the year's rain days is the relative spread of
	// its rain. Five stations with 114 to 194 days have 1.6 to 1.9: what a sum of
	// so many wet days, each of its own depth, must vary by.
	rainSpread, rainWith = 1.7, 0.90
	windSpread, windWith = 0.07, 0.68 // relative; of two stations
	// sunSpread is relative, of global radiation: hours of sunshine vary by 0.083,
	// which radiation halves (De Bilt 1991 to 2020: 0.042, checked against a
	// collection that is not shipped).
	sunSpread, sunWith   = 0.042, -0.35
	warmSpread, warmWith = 0.48, -0.33 // K, of the half of the year with the high sun
	// De Bilt 1991 to 2020, not shipped: 0.013, and −0.7 with the sun, which times
	// sunWith gives 0.25. The months of six hourly records about their normals
	// have 0.24 with the month's rain.
	humidSpread, humidWith = 0.013, 0.25
	maxRH                  = 0.98 // the humidity is not raised above it
)

// minDepth is the least mean depth of a rain day in mm; with less there are
// fewer days, so that each can hold its 1 mm.
const minDepth = 1.01

// Figures returns the monthly figures that Generate aims at: those of the
// station at a deviate of 0, of a worse year above it, of a kinder one below. The
// days of rain are whole: rounded, no more than the month's rain can make, and no
// more than its days. A month with rain of 1 mm or more that rounds to no day has
// one, unless its rain is slight enough for drizzle below 1 mm a day.
func Figures(s *climate.Station, deviate float64) climate.Station {
	f := *s
	spread := rainSpread / math.Sqrt(max(climate.YearSum(s.RainDays), 1))
	wet := math.Exp(deviate * rainWith * min(spread, 0.5))
	for m := range 12 {
		if climate.HighSun(s.Latitude, m) {
			shift := deviate * warmWith * warmSpread
			f.Temp[m] += shift
			f.TempMin[m] += shift
			f.TempMax[m] += shift
		}
		f.RH[m] = min(s.RH[m]+deviate*humidWith*humidSpread, max(s.RH[m], maxRH))
		f.Wind[m] *= math.Exp(deviate * windWith * windSpread)
		f.Sun[m] *= math.Exp(deviate * sunWith * sunSpread)
		f.Rain[m] *= wet
		// A wet year has more days and deeper ones, to equal parts.
		days := min(s.RainDays[m]*math.Sqrt(wet), float64(climate.Days[m]))
		f.RainDays[m] = min(math.Round(days), math.Floor(f.Rain[m]/minDepth))
		if f.RainDays[m] == 0 && f.Rain[m] > drizzleMonth {
			f.RainDays[m] = 1
		}
	}
	return f
}
