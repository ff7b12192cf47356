package hourly

import (
	"math"

	"wallsift/model/climate"
)

// OneInTen is the standard normal deviate passed in one year of ten.
const OneInTen = 1.2816

// maxDeviate bounds a year's deviate: once in thirty thousand years.
const maxDeviate = 4

// What a year one standard deviation wetter than the mean brings; choices of
// this tool.
const (
	// rainCV is the coefficient of variation of a year's rain, 0.15 in temperate
	// climates (from memory); dry climates vary more.
	rainCV = 0.15
	// windCV brings what the rain does not bring of driving rain.
	windCV = 0.04
	// sunCV is that of a year's global radiation, 0.045 (from memory).
	sunCV = 0.045
	// A cool year: the half of the year with the low sun, and the other, in K.
	coolWinter, coolSummer = -0.8, -0.4
	// moist is added to the relative humidity, up to maxRH.
	moist, maxRH = 0.016, 0.98
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
	wet := 1 + deviate*rainCV
	for m := range 12 {
		shift := deviate * coolWinter
		if highSun(s.Latitude, m) {
			shift = deviate * coolSummer
		}
		f.Temp[m] += shift
		f.TempMin[m] += shift
		f.TempMax[m] += shift
		f.RH[m] = min(s.RH[m]+deviate*moist, max(s.RH[m], maxRH))
		f.Wind[m] *= 1 + deviate*windCV
		f.Sun[m] *= 1 - deviate*sunCV
		f.Rain[m] *= wet
		// A wet year has more days and deeper ones, to equal parts.
		f.RainDays[m] = min(s.RainDays[m]*math.Sqrt(wet), float64(climate.Days[m]))
	}
	for m := range 12 {
		n := min(math.Round(f.RainDays[m]), math.Floor(f.Rain[m]/minDepth))
		if n == 0 && f.Rain[m] > drizzleMonth {
			n = 1
		}
		f.RainDays[m] = n
	}
	return f
}

func highSun(latitude float64, m int) bool {
	return (m >= 3 && m <= 8) == (latitude >= 0)
}
