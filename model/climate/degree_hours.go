package climate

import "math"

// DailySigma returns, for each month, the standard deviation in K of the daily
// mean temperature about the monthly mean. Two published figures meet in it:
//   - continental (σ_year ≥ 8 K): σ_m = 1.45 − 0.0290·θ + 0.0664·σ_year of Erbs,
//     Klein & Beckman 1983 as in ASHRAE Fundamentals, fitted to United States
//     stations; it is the spread of the monthly mean, times √N, times 0.512;
//   - maritime (σ_year ≤ 5 K, the British Isles): 3.5 K all year, from k = 2.5/σ
//     and k = 0.71 of Hitchin's formula in CIBSE TM41:2006.
//
// Between the two σ_year (the spread of the twelve monthly means) a straight
// line leads from one to the other; that line is a choice of this tool.
func DailySigma(s *Station) Months {
	mean, square := 0.0, 0.0
	for _, v := range s.Temp {
		mean += v / 12
		square += v * v / 12
	}
	year := math.Sqrt(max(square-mean*mean, 0))
	inland := max(0, min((year-5)/(8-5), 1))
	var out Months
	for m := range out {
		// Erbs' line leaves its data above some 35 °C; 0.5 keeps it positive.
		monthly := max(1.45-0.0290*s.Temp[m]+0.0664*year, 0.5)
		erbs := monthly * math.Sqrt(float64(Days[m])) * toDaily
		out[m] = inland*erbs + (1-inland)*maritimeSigma
	}
	return out
}

const (
	erbsA         = 1.698
	maritimeSigma = 2.5 / 0.71 // K
)

// toDaily turns σ_m·√N of the Erbs curve into the daily spread: it makes the
// curve at h = 0 (ln 2 / 2a) agree with the normal distribution (1/√(2π)).
var toDaily = math.Ln2 / (2 * erbsA) * math.Sqrt(2*math.Pi)

// HeatingDegreeHours returns the yearly degree-hours below base (°C) in K·h, from the
// monthly means alone: 24 times the degree-days of the daily means. Hours counted
// one by one would give a few per cent more, since a night can need heat on a day
// whose mean does not. Source: Erbs, Klein & Beckman 1983 as in ASHRAE Fundamentals,
// with the spread of DailySigma.
func HeatingDegreeHours(s *Station, base float64) float64 {
	days := 0.0 // K·d
	for m, sigma := range DailySigma(s) {
		width := sigma / toDaily // Erbs' σ_m·√N
		h := (base - s.Temp[m]) / width
		// ln(e^-x + e^x) written so that it does not overflow.
		x := math.Abs(erbsA * h)
		softplus := x + math.Log1p(math.Exp(-2*x))
		days += width * float64(Days[m]) * (h/2 + softplus/(2*erbsA))
	}
	return 24 * days
}
