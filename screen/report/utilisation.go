package report

import (
	"math"
	"strconv"

	"wallsift/model/indicator"
	"wallsift/screen"
)

// Used prints a utilisation with two decimals, as "99+" where the model cut it.
func Used(u float64) string {
	switch {
	case u == screen.NotJudged:
		return "not judged"
	case u >= indicator.MaxUtilisation-0.005:
		return strconv.Itoa(indicator.MaxUtilisation) + "+"
	}
	return fixed(u, 2)
}

// Spread prints a utilisation with its low and high end.
func Spread(j *screen.Judgement) string {
	return Used(j.Typical) + " (" + Used(j.Low) + " to " + Used(j.High) + ")"
}

// Chance prints between what bounds the chance that a limit is exceeded lies,
// nothing where it was not drawn. What may lie on the other side of a threshold
// is marked.
func Chance(j *screen.Judgement) string {
	if j.Chance < 0 {
		return ""
	}
	low, high := math.Floor(100*j.ChanceLow+0.5), math.Ceil(100*j.ChanceHigh-0.5)
	var s string
	switch {
	case low <= 0 && high >= 100:
		s = "open"
	case low <= 0:
		s = "below " + fixed(max(high, 1), 0) + " %"
	case high >= 100:
		s = "above " + fixed(min(low, 99), 0) + " %"
	case low >= high:
		s = fixed(high, 0) + " %"
	default:
		s = fixed(low, 0) + "–" + fixed(high, 0) + " %"
	}
	if j.Near {
		s += ", near"
	}
	return s
}

// Compass prints a direction as one of sixteen points.
func Compass(degrees float64) string {
	points := [...]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}
	return points[int(math.Mod(degrees+360, 360)/22.5+0.5)%len(points)]
}
