package hourly

import (
	"math"

	"wallsift/model/air"
	"wallsift/model/climate"
)

// The humidity of a day lasts from day to day and is higher on wet and dull days,
// the more so the more is lacking to saturation: in seven hourly records the daily
// means spread by 0.31 to 0.50 of what their year lacks, and wet days lack less
// than dry ones by 0.1 (Ireland) to 0.5 of it. So these are shares of (1 − φ)/φ of
// the month, as of the logarithm. Set after these records, whose daily means keep a
// lag of 0.3 to 0.6.
const (
	humidDaily = 0.5
	humidSD    = 0.36
	humidWet   = 0.15
	humidClear = -0.50
)

// Rain brings the air near saturation, in a dry climate as in a damp one: in seven
// hourly records whose mean humidity is 0.65 to 0.86 the hours with rain have 0.87
// to 0.94. So the humidity is drawn towards rainRH by rainPull in an hour of rain,
// and less the further off in hours the rain is: by a factor of e in 1 h in Ireland
// and in 3 to 4 h at New York, Boston and Chicago, which rainFade times what the
// month lacks to saturation follows. Set after these records.
const (
	rainRH, rainPull = 0.95, 0.8
	rainFade         = 9.0 // h
)

// humidity fills RH: the vapour pressure keeps from day to day and the
// temperature within the day bends it. The month's factor is found by bisection,
// since air holds no more than saturation.
func (y *year) humidity() {
	r := stream(y.seed, streamHumidity)
	day := autoregressive(r, days, humidDaily)
	pressure, clear := daily(y.Theta), daily(y.clear)
	for d, theta := range pressure {
		x := humidSD*day[d] + humidClear*clear[d]
		if y.wet[d] {
			x += humidWet
		}
		phi := y.figures.RH[climate.MonthOf[d]]
		pressure[d] = math.Log(air.Psat(theta)) + x*(1-phi)/max(phi, 0.3)
	}
	pull := y.pull()
	y.RH = make([]float64, HoursPerYear)
	drawn := make([]float64, HoursPerYear) // logarithm of the humidity for a factor of 1
	for k := range drawn {
		x := between(pressure[:], k) - math.Log(air.Psat(y.Theta[k]))
		drawn[k] = x + pull[k]*(math.Log(rainRH)-x)
	}
	for m := range 12 {
		from, to := span(m)
		want := y.figures.RH[m] * float64(to-from)
		bisect(-20, 20, 50, func(factor float64) bool { // its logarithm
			for k := from; k < to; k++ {
				y.RH[k] = math.Exp(min(drawn[k]+(1-pull[k])*factor, 0))
			}
			return total(y.RH[from:to]) < want
		})
	}
}

// pull is how much of each hour's humidity the rain decides, 0 to rainPull.
func (y *year) pull() []float64 {
	out := make([]float64, HoursPerYear)
	for _, step := range []int{1, -1} {
		p := 0.0
		for i := range out {
			k := i
			if step < 0 {
				k = HoursPerYear - 1 - i
			}
			lack := 1 - y.figures.RH[climate.MonthOf[k/24]]
			if p *= math.Exp(-1 / (rainFade*lack + 0.1)); y.Rain[k] > 0 {
				p = rainPull
			}
			out[k] = max(out[k], p)
		}
	}
	return out
}
