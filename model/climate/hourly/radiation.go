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

// diffuseShare returns the diffuse share of global radiation for the clearness
// index kt (≥ 0) of the hour. Source: Erbs, Klein & Duffie 1982, from memory.
func diffuseShare(kt float64) float64 {
	switch {
	case kt <= 0.22:
		return 1 - 0.09*max(kt, 0)
	case kt <= 0.80:
		return 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
	}
	return 0.165
}

// Split splits a year of hourly means of global radiation on the horizontal (W/m²,
// ≥ 0) into direct normal and diffuse horizontal radiation. It keeps global = diffuse
// + direct·(mean sine of the sun's height). Hours with the sun below the horizon at
// their middle are all diffuse.
func (s Sun) Split(global []float64) (direct, diffuse []float64) {
	direct, diffuse = make([]float64, len(global)), make([]float64, len(global))
	for k, g := range global {
		h := &s[k]
		diffuse[k] = g
		if h.middle <= 0 || h.above <= 0 {
			continue
		}
		beam := g * (1 - diffuseShare(g/h.above)) / h.up
		direct[k] = min(beam, clearBeam(h))
		diffuse[k] = max(0, g-direct[k]*h.up)
	}
	return direct, diffuse
}

// clearBeam is the direct normal radiation of a clear sky, W/m², with a tenth
// more for very clear ones: the most that a low sun is given. Source: Meinel &
// Meinel 1976, 0.7^(m^0.678), from memory; air mass after Kasten & Young 1989.
func clearBeam(h *sunHour) float64 {
	height := math.Asin(min(h.up, 1)) / rad
	mass := 1 / (h.up + 0.50572*math.Pow(height+6.07995, -1.6364))
	return 1.1 * h.above / h.up * math.Pow(0.7, math.Pow(mass, 0.678))
}
