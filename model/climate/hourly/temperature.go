package hourly

import (
	"math"
	"slices"

	"wallsift/model/climate"
)

const (
	// dayToDay is the correlation of a day's mean temperature with the next: the
	// middle of 0.62 for the highest and 0.67 for the lowest of a day in
	// Richardson & Wright 1984 (from memory).
	dayToDay = 0.65
	// Joining the days by lines raises their correlation and narrows their
	// spread: an AR(1) process with knotToKnot has daily means with dayToDay and
	// lineSigma of its standard deviation. See TestDailyMeansKeepTheirLag.
	knotToKnot, lineSigma = 0.5657, 0.9485
	// sigmaShare of climate.DailySigma is what the days are given. The days of
	// 2012 to 2015 at Seattle and New York (testdata/reference/weather) have 0.80
	// and 0.83 of it about their four-year monthly means: set after them.
	sigmaShare = 0.82
	// hourToHour is the correlation of the unrest within a day; a choice.
	hourToHour = 0.9
	// unrest of the hours over the daily wave in full sun, and without sun.
	unrest, unrestDark = 0.2, 0.6
	// fullSun is the month's mean global radiation in W/m² from which the wave is
	// driven by the sun alone; below, as its square root. Set after the Seattle
	// hourly normals, whose mean day has half the range of the daily extremes in
	// December and 0.86 of it in July.
	fullSun = 300.0
	// The daily wave of a dull day is dullWave of that of a clear one.
	dullWave = 0.5
	// peak is the warmest hour of the day, clock time.
	peak = 15.0
	// Wet days against dry ones, K: milder in cold months, cooler in warm ones.
	// The line joins the ends at these monthly means, °C. A choice that follows
	// climate.LiquidShare, which rests on wet winter days being milder.
	wetMild, wetCool         = 3.0, -1.5
	wetMildBelow, wetCoolTop = 0.0, 15.0
	// extremeIterations bring the daily extremes near their figures.
	extremeIterations = 25
)

// temperature fills Theta: a curve through the monthly means, days that depart
// from it, and a wave within the day. The size of the wave and of its second
// harmonic are found month by month so that the daily extremes of the hourly
// means fit; the curve takes up what is left in the mean.
func (y *year) temperature() {
	f := &y.figures
	base := y.departures()
	wave, bend := y.waves()
	y.Theta = make([]float64, HoursPerYear)
	line := make([]float64, HoursPerYear)
	var size, skew, weather climate.Months
	for m := range 12 {
		size[m], weather[m] = (f.TempMax[m]-f.TempMin[m])/2, 1
	}
	for range extremeIterations {
		var rest climate.Months
		for m := range 12 {
			from, to := span(m)
			for k := from; k < to; k++ {
				y.Theta[k] = weather[m]*base[k] + size[m]*wave[k] + skew[m]*bend[k] + line[k]
			}
			rest[m] = f.Temp[m] - mean(y.Theta, m)
		}
		addCurve(line, rest)
		addCurve(y.Theta, rest)
		for m := range 12 {
			low, high := extremes(y.Theta, m)
			width := f.TempMax[m] - f.TempMin[m]
			// Within bounds, so that one odd month cannot run away.
			size[m] = max(0, min(size[m]+0.4*(width-(high-low)), 2*width))
			skew[m] += 0.4 * ((f.TempMax[m]+f.TempMin[m])/2 - (high+low)/2)
			bound := max(size[m], 0.3*width)
			skew[m] = max(-bound, min(skew[m], bound))
			if size[m] == 0 && high-low > width {
				// The change from day to day alone is more than the extremes allow:
				// a steady month, met where no sun makes a day.
				weather[m] *= width / (high - low)
			}
		}
	}
	// The last step: thousandths that the curve has left.
	for m := range 12 {
		from, to := span(m)
		off := f.Temp[m] - mean(y.Theta, m)
		for k := from; k < to; k++ {
			y.Theta[k] += off
		}
	}
}

// departures are the days' differences from the yearly curve, joined smoothly.
func (y *year) departures() []float64 {
	f := &y.figures
	sigma := climate.DailySigma(f)
	day := autoregressive(stream(y.seed, streamTemperature), days, knotToKnot)
	for d := range day {
		m := climate.MonthOf[d]
		cold := max(0, min((wetCoolTop-f.Temp[m])/(wetCoolTop-wetMildBelow), 1))
		shift := wetCool + (wetMild-wetCool)*cold
		// The spread about the monthly mean holds the slope of the season and what
		// wet and dry days differ by.
		p := f.RainDays[m] / float64(climate.Days[m])
		slope := (f.Temp[(m+1)%12] - f.Temp[(m+11)%12]) / 2
		all := math.Pow(sigmaShare*sigma[m], 2)
		rest := max(0.25*all, all-p*(1-p)*shift*shift-slope*slope/12)
		day[d] *= math.Sqrt(rest) / lineSigma
		if y.wet[d] {
			day[d] += shift
		}
	}
	out := make([]float64, HoursPerYear)
	for k := range out {
		out[k] = between(day, k)
	}
	return out
}

// waves is the course of each day for an amplitude of one: wider under a clear
// sky, replaced by unrest where no sun drives it. bend lifts peaks and troughs
// alike.
func (y *year) waves() (wave, bend []float64) {
	noise, clear := y.unrest(), daily(y.clear)
	wave, bend = make([]float64, HoursPerYear), make([]float64, HoursPerYear)
	for m := range 12 {
		lit := math.Sqrt(min(y.figures.Sun[m]/fullSun, 1))
		course := dayCourse(y.figures.Latitude, m)
		from, to := span(m)
		for k := from; k < to; k++ {
			size := dullWave + (1-dullWave)*between(clear[:], k)
			c := course[k%24]
			wave[k] = lit*size*c + (unrestDark+lit*(unrest-unrestDark))*noise[k]
			bend[k] = lit*(2*c*c-1) + (1-lit)*(noise[k]*noise[k]-1)/2
		}
	}
	return wave, bend
}

// unrest is noise within the days, less what would move their means.
func (y *year) unrest() []float64 {
	noise := autoregressive(stream(y.seed, streamUnrest), HoursPerYear, hourToHour)
	day := daily(noise)
	for k := range noise {
		noise[k] -= between(day[:], k)
	}
	return noise
}

// dayCourse is half a cosine wave up from sunrise to the peak and half a one
// down from there to the next sunrise, −1 to 1. Source: de Wit 1978, from
// memory. Sunrise is held between 3:00 and 9:00.
func dayCourse(latitude float64, m int) (out [24]float64) {
	d := newSunDay(float64(climate.FirstDay[m]+climate.FirstDay[m+1])/2, 0)
	s, c := math.Sin(latitude*rad)*d.sinDecl, math.Cos(latitude*rad)*d.cosDecl
	rise := 12 - math.Acos(max(-1, min(1, -s/max(c, 1e-9))))/(15*rad)
	rise = max(3, min(rise, 9))
	for h := range out {
		t := float64(h) + 0.5
		switch {
		case t >= rise && t < peak:
			out[h] = -math.Cos(math.Pi * (t - rise) / (peak - rise))
		case t < rise:
			out[h] = math.Cos(math.Pi * (t + 24 - peak) / (24 - peak + rise))
		default:
			out[h] = math.Cos(math.Pi * (t - peak) / (24 - peak + rise))
		}
	}
	return out
}

// extremes are the means of the daily lowest and highest hourly values of month m.
func extremes(v []float64, m int) (low, high float64) {
	n := float64(climate.Days[m])
	for d := climate.FirstDay[m]; d < climate.FirstDay[m+1]; d++ {
		low += slices.Min(v[24*d:24*d+24]) / n
		high += slices.Max(v[24*d:24*d+24]) / n
	}
	return low, high
}
