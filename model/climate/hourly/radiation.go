package hourly

import "math"

// The sky's clearness lasts from day to day by skyDaily (0.25 in Richardson &
// Wright 1984, from memory). Wet days are duller by wetDull, set after the typical
// years of Quillayute, Boston and Chicago, whose wet days have 0.47 to 0.85 of the
// sun of dry ones. The rest are choices of this tool.
const (
	skyDaily, skyHourly = 0.25, 0.7
	skyDaySD, skyHourSD = 1.1, 0.6
	wetDull             = 1.2
	clearest, dullest   = 0.80, 0.05 // clearness index of a day, highest and lowest
	radiationIterations = 24
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
	sun := NewSun(y.figures.Latitude, 0, 0)
	y.Global, y.clear = make([]float64, HoursPerYear), make([]float64, HoursPerYear)
	for m := range 12 {
		from, to := span(m)
		want := y.figures.Sun[m] * float64(to-from)
		_, hi := bisect(-8, 8, radiationIterations, func(mid float64) bool { return y.light(sun, from, to, mid) < want })
		// No more than the sun above the horizon can bring: polar winter.
		scaleTo(y.Global[from:to], min(want, y.light(sun, from, to, hi)/0.8))
	}
	y.DirectNormal, y.Diffuse = sun.Split(y.Global)
}

// light fills Global and clearness of some hours for a shift of the sky and
// returns the sum of Global.
func (y *year) light(sun Sun, from, to int, shift float64) float64 {
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

// skyTemperature fills SkyTheta.
func (y *year) skyTemperature() {
	y.SkyTheta = make([]float64, HoursPerYear)
	for k := range y.SkyTheta {
		index := dullest + (clearest-dullest)*y.clear[k]
		y.SkyTheta[k] = SkyTemperature(y.Theta[k], y.RH[k], cloudCover(index/clearIndex))
	}
}
