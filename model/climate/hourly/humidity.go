package hourly

import (
	"math"

	"wallsift/model/air"
)

// The humidity of a day, choices of this tool: it lasts from day to day, is
// higher on wet and dull days, and higher still in the hours of rain.
const (
	humidDaily  = 0.5
	humidSD     = 0.10 // of the logarithm
	humidWet    = 0.10
	humidClear  = -0.25
	humidRain   = 0.10
	humidSearch = 100
)

// humidity fills RH: the vapour pressure keeps from day to day and the
// temperature within the day bends it. The month's factor is found by bisection,
// since air holds no more than saturation.
func (y *year) humidity() {
	r := stream(y.seed, streamHumidity)
	day := autoregressive(r, days, humidDaily)
	var pressure [days]float64
	for d := range days {
		theta, clear := 0.0, 0.0
		for k := 24 * d; k < 24*d+24; k++ {
			theta += y.Theta[k] / 24
			clear += y.clear[k] / 24
		}
		x := humidSD*day[d] + humidClear*clear
		if y.wet[d] {
			x += humidWet
		}
		pressure[d] = math.Log(air.Psat(theta)) + x
	}
	y.RH = make([]float64, HoursPerYear)
	for k := range y.RH {
		x := between(pressure[:], k)
		if y.Rain[k] > 0 {
			x += humidRain
		}
		y.RH[k] = math.Exp(x) / air.Psat(y.Theta[k])
	}
	for m := range 12 {
		from, to := span(m)
		capMean(y.RH[from:to], y.figures.RH[m])
	}
}

// capMean multiplies positive v and cuts it at 1 so that its mean is want, ≤ 1.
func capMean(v []float64, want float64) {
	lowest := v[0]
	for _, x := range v {
		lowest = min(lowest, x)
	}
	n := float64(len(v))
	lo, hi := 0.0, 1/lowest
	for range humidSearch {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		sum := 0.0
		for _, x := range v {
			sum += min(1, mid*x)
		}
		if sum < want*n {
			lo = mid
		} else {
			hi = mid
		}
	}
	for k := range v {
		v[k] = min(1, hi*v[k])
	}
}
