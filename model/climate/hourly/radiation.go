package hourly

import "math"

// The sky's clearness lasts from day to day by skyDaily (0.25 in Richardson &
// Wright 1984, from memory). The rest are choices of this tool: it lasts from
// hour to hour by skyHourly, and wet days are duller.
const (
	skyDaily, skyHourly = 0.25, 0.7
	skyDaySD, skyHourSD = 1.1, 0.6
	wetDull             = 1.8
	clearest, dullest   = 0.80, 0.05 // clearness index of a day, highest and lowest
	radiationIterations = 24
	twilight            = 0.105 // sine of 6°, civil twilight
	twilightLight       = 30.0  // W/m² per unit of sine, a weight only
)

// clouds draws the sky by the hour, before it is made to fit the month's sun.
func (y *year) clouds() {
	r := stream(y.seed, streamSun)
	day, hour := autoregressive(r, days, skyDaily), autoregressive(r, HoursPerYear, skyHourly)
	for d := range day {
		day[d] *= skyDaySD
		if y.wet[d] {
			day[d] -= wetDull
		}
	}
	y.sky = hour
	for k := range y.sky {
		y.sky[k] = between(day, k) + skyHourSD*hour[k]
	}
}

// radiation fills Global, DirectNormal and Diffuse and the clearness. A shift of
// the month's sky brings the mean radiation near; a factor makes it exact.
func (y *year) radiation() {
	sun := sunYear(y.figures.Latitude, 0, 0)
	y.Global, y.clear = make([]float64, HoursPerYear), make([]float64, HoursPerYear)
	for m := range 12 {
		from, to := span(m)
		want := y.figures.Sun[m] * float64(to-from)
		lo, hi := -8.0, 8.0
		for range radiationIterations {
			mid := (lo + hi) / 2
			if y.light(sun, from, to, mid) < want {
				lo = mid
			} else {
				hi = mid
			}
		}
		if above := y.light(sun, from, to, (lo+hi)/2); above < 0.8*want {
			y.dusk(sun, from, to)
		}
		scaleTo(y.Global[from:to], want)
	}
	y.DirectNormal, y.Diffuse = split(y.Global, sun)
}

// light fills Global and clearness of some hours for a shift of the sky and
// returns the sum of Global.
func (y *year) light(sun []sunHour, from, to int, shift float64) float64 {
	sum := 0.0
	for k := from; k < to; k++ {
		y.clear[k] = 1 / (1 + math.Exp(-y.sky[k]-shift))
		h := &sun[k]
		if h.above > 0 {
			y.Global[k] = h.above * h.profile * (dullest + (clearest-dullest)*y.clear[k])
			sum += y.Global[k]
		}
	}
	return sum
}

// dusk gives weights to a month whose figure is more than the sun above the
// horizon can bring: polar night and its edges, where the light is twilight.
func (y *year) dusk(sun []sunHour, from, to int) {
	highest := -1.0
	for k := from; k < to; k++ {
		highest = max(highest, sun[k].middle)
	}
	floor := min(-twilight, highest-twilight)
	for k := from; k < to; k++ {
		y.Global[k] += twilightLight * max(0, sun[k].middle-floor)
		y.clear[k] = 1 / (1 + math.Exp(-y.sky[k]))
	}
}
