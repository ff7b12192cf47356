package hourly

import (
	"cmp"
	"math"
	"slices"

	"wallsift/model/rain"
)

const (
	// windShape of the Weibull distribution of hourly wind: 2, Rayleigh.
	windShape = 2.0
	// windHourly is the correlation of one hour with the next, from memory.
	windHourly = 0.93
	// windDaily: more wind by day than by night, as a share; a choice.
	windDaily = 0.15
	// drySpread is the spread of the wind without rain about the rain-bearing
	// direction, and wander that of an hour about the wind of its day, degrees;
	// choices.
	drySpread, wander = 110.0, 15.0
)

// wind fills Wind. Hours with rain have rain.RainyWind times the month's mean, the
// others what is left, so that the month's mean is exact.
func (y *year) wind() {
	z := autoregressive(stream(y.seed, streamWind), HoursPerYear, windHourly)
	y.Wind = make([]float64, HoursPerYear)
	for k := range y.Wind {
		u := math.Pow(-math.Log(max(0.5*math.Erfc(z[k]/math.Sqrt2), 1e-300)), 1/windShape)
		y.Wind[k] = u * (1 + windDaily*math.Cos(2*math.Pi*(float64(k%24)+0.5-peak)/24))
	}
	for m := range 12 {
		from, to := span(m)
		class := func(k int) int { // 0 dry, 1 wet
			if y.Rain[k] > 0 {
				return 1
			}
			return 0
		}
		var sum, count [2]float64
		for k := from; k < to; k++ {
			sum[class(k)] += y.Wind[k]
			count[class(k)]++
		}
		wet := count[1] / (count[0] + count[1])
		// In a month of rain without end the rest still has half the mean.
		rainy := min(rain.RainyWind, (1-0.5*(1-wet))/max(wet, 1e-9))
		factor := [2]float64{(1 - rainy*wet) / max(1-wet, 1e-9) * count[0] / sum[0], rainy * count[1] / sum[1]}
		for k := from; k < to; k++ {
			y.Wind[k] *= factor[class(k)]
		}
		scaleTo(y.Wind[from:to], y.figures.Wind[m]*float64(to-from))
	}
}

// direction fills WindFrom: one draw for the rain of a day, one for the rest of
// it, and a wander by the hour. One year has too few days of heavy driving rain to
// leave their directions to chance: the lee wall of a representative year would be
// off by a third. So the days are taken in order of their driving rain and the
// golden ratio steps through the distribution, which spreads any run of days evenly.
func (y *year) direction() {
	r := stream(y.seed, streamDirection)
	var driving, wet, dry [days]float64
	var order []int
	for d := range days {
		order = append(order, d)
		for k := 24 * d; k < 24*d+24; k++ {
			driving[d] += y.Wind[k] * math.Pow(y.Rain[k]*liquidShare(y.Theta[k]), 8.0/9)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(driving[b], driving[a]) })
	spread := math.Sqrt(max(0, math.Pow(y.figures.RainSigma(), 2)-wander*wander)) // the hours add wander
	at := r.Float64()
	for _, d := range order {
		at = math.Mod(at+math.Phi-1, 1)
		wet[d] = spread * math.Sqrt2 * math.Erfinv(2*min(max(at, 1e-9), 1-1e-9)-1)
		dry[d] = drySpread * r.NormFloat64()
	}
	y.WindFrom = make([]float64, HoursPerYear)
	for k := range y.WindFrom {
		from := dry[k/24]
		if y.Rain[k] > 0 {
			from = wet[k/24]
		}
		from = math.Mod(y.figures.RainFrom+from+wander*r.NormFloat64(), 360)
		if from < 0 {
			from += 360
		}
		y.WindFrom[k] = from
	}
}
