package hourly

import "wallsift/model/climate"

const days = 365

// span is the hours of month m (0–11): first and one past the last.
func span(m int) (from, to int) { return 24 * firstDay[m], 24 * firstDay[m+1] }

var (
	firstDay  = firstDays()
	monthOf   = monthsOfDays()
	curveBase = invert(curveMeans())
)

func firstDays() (first [13]int) {
	for m, n := range climate.Days {
		first[m+1] = first[m] + n
	}
	return first
}

func monthsOfDays() (out [days]int) {
	for m := range 12 {
		for d := firstDay[m]; d < firstDay[m+1]; d++ {
			out[d] = m
		}
	}
	return out
}

// curve fills out with a line that bends at the middle of each month, closes on
// itself over the year, and has exactly the given monthly means. Steps at the
// turn of a month would be steps of the weather.
func curve(out []float64, means climate.Months) {
	var knots climate.Months
	for i := range knots {
		for j, v := range means {
			knots[i] += curveBase[i][j] * v
		}
	}
	polyline(out, knots)
}

// polyline joins values at the middles of the months by straight lines.
func polyline(out []float64, knots climate.Months) {
	for m := range 12 {
		next := (m + 1) % 12
		from := middleHour(m)
		length := (float64(climate.Days[m]) + float64(climate.Days[next])) * 12
		for k := int(from); ; k++ {
			x := (float64(k) + 0.5 - from) / length
			if x >= 1 {
				break
			}
			if x >= 0 {
				out[k%HoursPerYear] = knots[m] + x*(knots[next]-knots[m])
			}
		}
	}
}

func middleHour(m int) float64 { return 12 * float64(firstDay[m]+firstDay[m+1]) }

// curveMeans is the matrix that takes knots to monthly means.
func curveMeans() (a [12][12]float64) {
	var out [HoursPerYear]float64
	for j := range 12 {
		var unit climate.Months
		unit[j] = 1
		polyline(out[:], unit)
		for i := range 12 {
			a[i][j] = mean(out[:], i)
		}
	}
	return a
}

// invert is Gauss–Jordan elimination without pivoting, which the matrix of
// curveMeans does not need: its diagonal outweighs each row.
func invert(a [12][12]float64) (inv [12][12]float64) {
	for i := range inv {
		inv[i][i] = 1
	}
	for i := range a {
		p := a[i][i]
		for j := range a {
			a[i][j] /= p
			inv[i][j] /= p
		}
		for r := range a {
			if f := a[r][i]; r != i {
				for j := range a {
					a[r][j] -= f * a[i][j]
					inv[r][j] -= f * inv[i][j]
				}
			}
		}
	}
	return inv
}

// mean is the mean of an hourly series over month m.
func mean(v []float64, m int) float64 {
	from, to := span(m)
	return total(v[from:to]) / float64(to-from)
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
