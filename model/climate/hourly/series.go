package hourly

import (
	"math"
	"math/rand/v2"

	"wallsift/model/climate"
)

const days = 365

// span is the hours of month m (0–11): first and one past the last.
func span(m int) (from, to int) { return 24 * climate.FirstDay[m], 24 * climate.FirstDay[m+1] }

// addCurve adds a line through values at the middles of the months, straight
// between them and closed over the year: steps at the turn of a month would be
// steps of the weather.
func addCurve(out []float64, knots climate.Months) {
	for m := range 12 {
		next := (m + 1) % 12
		from := 12 * float64(climate.FirstDay[m]+climate.FirstDay[m+1])
		length := (float64(climate.Days[m]) + float64(climate.Days[next])) * 12
		for k := int(from); ; k++ {
			x := (float64(k) + 0.5 - from) / length
			if x >= 1 {
				break
			}
			if x >= 0 {
				out[k%HoursPerYear] += knots[m] + x*(knots[next]-knots[m])
			}
		}
	}
}

// mean is the mean of an hourly series over month m, 0 where there is none.
func mean(v []float64, m int) float64 {
	if v == nil {
		return 0
	}
	from, to := span(m)
	return total(v[from:to]) / float64(to-from)
}

// daily are the means of the days.
func daily(v []float64) (out [days]float64) {
	for k, x := range v {
		out[k/24] += x / 24
	}
	return out
}

func total(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum
}

// scaleTo multiplies v so that its sum is the given one. A sum of zero stays.
func scaleTo(v []float64, sum float64) {
	have := total(v)
	if have <= 0 {
		return
	}
	for k := range v {
		v[k] *= sum / have
	}
}

// bisect halves the range n times towards where what low says of its middle ends.
func bisect(lo, hi float64, n int, low func(mid float64) bool) (float64, float64) {
	for range n {
		if mid := (lo + hi) / 2; low(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo, hi
}

// A stream of its own for each quantity: a change to one leaves the others.
const (
	streamRain = iota + 1
	streamTemperature
	streamUnrest
	streamHumidity
	streamWind
	streamDirection
	streamSun
)

func stream(seed, which uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, which)) }

// autoregressive returns n standard normal values whose neighbours correlate by
// rho, in a stationary AR(1) process.
func autoregressive(r *rand.Rand, n int, rho float64) []float64 {
	out := make([]float64, n)
	z, step := r.NormFloat64(), math.Sqrt(1-rho*rho)
	for i := range out {
		out[i] = z
		z = rho*z + step*r.NormFloat64()
	}
	return out
}

// gammaVariate draws from the gamma distribution of the given shape (> 0) and
// scale 1, after Marsaglia & Tsang 2000.
func gammaVariate(r *rand.Rand, shape float64) float64 {
	if shape < 1 {
		return gammaVariate(r, shape+1) * math.Pow(1-r.Float64(), 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := r.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v *= v * v
		if math.Log(1-r.Float64()) < 0.5*x*x+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

// between turns a daily series into hour k: the day's value from 6:00 to 18:00
// and a straight line across each night. A line from noon to noon would smooth
// the days more and so ask for wilder ones.
func between(daily []float64, k int) float64 {
	d, n := k/24, len(daily)
	t := float64(k%24) + 0.5
	switch {
	case t < 6:
		f := (6 - t) / 12
		return (1-f)*daily[d] + f*daily[(d+n-1)%n]
	case t > 18:
		f := (t - 18) / 12
		return (1-f)*daily[d] + f*daily[(d+1)%n]
	}
	return daily[d]
}
