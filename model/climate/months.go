package climate

import "gonum.org/v1/gonum/stat/distuv"

// Days holds the length of each month, February with 28.
var Days = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// YearMean returns the mean of a monthly series, each month weighted by its
// days.
func YearMean(m Months) float64 {
	sum := 0.0
	for i, v := range m {
		sum += v * float64(Days[i])
	}
	return sum / 365
}

// YearSum returns the sum of a monthly series.
func YearSum(m Months) float64 {
	sum := 0.0
	for _, v := range m {
		sum += v
	}
	return sum
}

// HighSun reports whether the month (0–11) lies in the warm half of the year:
// April to September north of the equator, October to March south of it.
func HighSun(latitude float64, month int) bool {
	return (month >= 3 && month <= 8) == (latitude >= 0)
}

// FirstDay is the first day (0–364) of each month and of the next year, MonthOf the
// month (0–11) of each day.
var FirstDay, MonthOf = func() (first [13]int, month [365]int) {
	for m, n := range Days {
		first[m+1] = first[m] + n
		for d := first[m]; d < first[m+1]; d++ {
			month[d] = m
		}
	}
	return first, month
}()

// Liquid share of precipitation: half at a monthly mean of −2 °C, because wet
// winter days are milder than the month, with a spread of 5 K. Both are choices
// of this tool from memory of coastal and inland stations; they understate
// winter rain where warm storms cross a cold coast (Nova Scotia: about a fifth
// here, over a half recorded, from memory).
const (
	liquidHalf  = -2 // °C
	liquidSigma = 5  // K
)

// LiquidShare returns the estimated share (0–1) of a month's precipitation that
// falls as rain, for the monthly mean temperature in °C. An estimate.
func LiquidShare(temp float64) float64 {
	return distuv.UnitNormal.CDF((temp - liquidHalf) / liquidSigma)
}
