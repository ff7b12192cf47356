package hourly

import (
	"math"

	"wallsift/model/climate"
)

// Kind is the sort of year to make.
type Kind uint8

// The kinds.
const (
	// Mean has the station's own monthly figures.
	Mean Kind = iota
	// Design is a wet, dull, cool year of the sort met or passed once in ten
	// years, in the spirit of the moisture design reference year of ASHRAE 160
	// (from memory).
	Design
)

// String returns the word for the kind.
func (k Kind) String() string {
	switch k {
	case Mean:
		return "mean"
	case Design:
		return "design"
	}
	return "unknown"
}

// The design year: the same for every station and month, choices of this tool.
// oneInTen is the standard normal deviate passed in one year of ten.
const (
	oneInTen = 1.2816
	// rainCV is the coefficient of variation of a year's rain, 0.15 in temperate
	// climates (from memory); dry climates vary more.
	rainCV = 0.15
	// drivingCV is that of a year's driving rain, 0.2 (from memory). What the
	// rain does not bring of it, the wind brings: 5 %.
	designWind = 1.05
	// sunCV is that of a year's global radiation, 0.045 (from memory).
	sunCV = 0.045
	// A cool year: the half of the year with the low sun, and the other, in K.
	designWinter, designSummer = -1.0, -0.5
	// designRH is added to the relative humidity, up to maxDesignRH.
	designRH, maxDesignRH = 0.02, 0.98
)

// minDepth is the least mean depth of a rain day in mm; with less there are
// fewer days, so that each can hold its 1 mm.
const minDepth = 1.01

// Figures returns the monthly figures that Generate aims at: those of the
// station (Mean) or its design year. The days of rain are whole: rounded, no
// more than the month's rain can make, and no more than its days. A month with
// rain of 1 mm or more that rounds to no day has one, unless its rain is slight
// enough for drizzle below 1 mm a day.
func Figures(s *climate.Station, kind Kind) climate.Station {
	f := *s
	if kind == Design {
		wet := 1 + oneInTen*rainCV
		for m := range 12 {
			shift := designWinter
			if highSun(s.Latitude, m) {
				shift = designSummer
			}
			f.Temp[m] += shift
			f.TempMin[m] += shift
			f.TempMax[m] += shift
			f.RH[m] = max(s.RH[m], min(s.RH[m]+designRH, maxDesignRH))
			f.Wind[m] *= designWind
			f.Sun[m] *= 1 - oneInTen*sunCV
			f.Rain[m] *= wet
			// A wet year has more days and deeper ones, to equal parts.
			f.RainDays[m] = min(s.RainDays[m]*math.Sqrt(wet), float64(climate.Days[m]))
		}
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
