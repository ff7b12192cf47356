package hourly

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"wallsift/model/climate"
	"wallsift/model/rain"
)

const (
	// A month with no rain day and no more than drizzleMonth mm has its rain as
	// drizzle of at most drizzleDay mm a day.
	drizzleMonth, drizzleDay = 5.0, 0.8
	// spread widens a day's rain to 1.3 times its hours, with dry ones between.
	spread = 1.3
	// Showers come about 16:00, some three hours to either side; a choice.
	showerHour, showerSpread = 16.0, 3.0
	// The depths of a day's hours spread like a gamma distribution of hourShape and
	// the mean of hourMean mm above leastHour mm. Set after the hours of Belmullet,
	// where 47 % of the hours of 0.1 mm and more have less than 0.3 mm and 6 % have
	// 2 to 5 mm.
	leastHour, hourMean, hourShape = 0.1, 0.7, 0.5
)

// rain fills Rain and the wet days.
func (y *year) rain() {
	r := stream(y.seed, streamRain)
	f := &y.figures
	y.Rain = make([]float64, HoursPerYear)
	y.wet = wetDays(r, f.RainDays)
	for m := range 12 {
		depth := dayDepths(r, y.wet[climate.FirstDay[m]:climate.FirstDay[m+1]], f.RainDays[m], f.Rain[m])
		hours := dayHours(f, m, depth)
		shower := rain.ShowerShare(f.Temp[m])
		for i, d := range depth {
			if d > 0 {
				k := 24 * (climate.FirstDay[m] + i)
				y.wet[climate.FirstDay[m]+i] = true
				scatter(r, y.Rain[k:k+24], d, hours[i], r.Float64() < shower)
			}
		}
	}
}

// dayDepths returns the rain of each day of a month, mm: gamma above 1 mm on the
// count of wet days, or drizzle on days spread over the month where none is wet. The
// shape of the gamma distribution is the mean over the scale 1.83·mean − 2.16 of Geng,
// Penning de Vries & Supit 1986 (from memory), at most exponential.
func dayDepths(r *rand.Rand, wet []bool, count, sum float64) []float64 {
	depth := make([]float64, len(wet))
	if count == 0 {
		n := int(math.Ceil(sum / drizzleDay))
		for i := range n {
			depth[(2*i+1)*len(depth)/(2*n)] = sum / float64(n)
		}
		return depth
	}
	mean := sum / count
	shape := mean / max(mean, 1.83*mean-2.16)
	for i := range depth {
		if wet[i] {
			depth[i] = gammaVariate(r, shape) + 1e-6
		}
	}
	scaleTo(depth, sum-count)
	for i := range depth {
		if wet[i] {
			depth[i]++
		}
	}
	return depth
}

// dayHours returns the hours of rain of each day: together those that the
// estimate from normals gives the month, shared out by the depth of the day.
func dayHours(f *climate.Station, m int, depth []float64) []float64 {
	hours := make([]float64, len(depth))
	for i, d := range depth {
		if d > 0 {
			hours[i] = math.Pow(d, rain.HoursPower)
		}
	}
	if whole := rain.RainHours(f, m) / climate.LiquidShare(f.Temp[m]); whole > 0 {
		scaleTo(hours, whole)
	}
	return hours
}

// scatter puts d mm into some hours of a day, rounded at random to whole hours:
// a stretch about a centre, with dry hours in it.
func scatter(r *rand.Rand, day []float64, d, hours float64, shower bool) {
	n := max(1, min(int(hours+r.Float64()), 24))
	length := min(int(math.Ceil(float64(n)*spread)), 24)
	centre := 24 * r.Float64()
	if shower {
		centre = showerHour + showerSpread*r.NormFloat64()
	}
	start := max(0, min(int(centre-float64(length)/2), 24-length))
	// Take n of the stretch's hours, each choice alike likely.
	for left := length; left > 0; left-- {
		if r.IntN(left) < n {
			day[start+left-1] = leastHour + gammaVariate(r, hourShape)*hourMean/hourShape
			n--
		}
	}
	scaleTo(day, d)
}

// wetDaily is the correlation from day to day of what makes a day wet. It is found,
// see TestWetDays, to give a share p of wet days P(wet|wet) = 0.25 + 0.75·p, after
// Geng, Penning de Vries & Supit 1986, from memory.
const wetDaily = 0.45

// wetDays draws which days are wet: those of each month that stand highest in an
// autoregressive series, as many as the month has.
func wetDays(r *rand.Rand, counts climate.Months) (wet [days]bool) {
	z := autoregressive(r, days, wetDaily)
	for m, count := range counts {
		var order []int
		for d := climate.FirstDay[m]; d < climate.FirstDay[m+1]; d++ {
			order = append(order, d)
		}
		slices.SortFunc(order, func(a, b int) int { return cmp.Compare(z[b], z[a]) })
		for _, d := range order[:int(count)] {
			wet[d] = true
		}
	}
	return wet
}
