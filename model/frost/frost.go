// Package frost estimates, from monthly normals, how often the air and the face
// of a wall pass through freezing and how often they do so wet. It refuses to
// judge a stone; the indicators do.
package frost

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"wallsift/model/climate"
)

// Face is what stands between the air and the place where frost is counted. The
// zero Face is the air itself.
type Face struct {
	Damping float64 // share of the daily swing lost on the way, 0–1
	Warming float64 // K that heat from inside lifts it above the air in a month at 0 °C mean
}

// Damping returns the share of the daily temperature swing that is lost at a
// depth (m) in a thick stone of the given thermal diffusivity (m²/s):
// 1 − exp(−x·√(π/(α·24 h))), the semi-infinite solid (Carslaw & Jaeger).
func Damping(depth, diffusivity float64) float64 {
	return 1 - math.Exp(-depth*math.Sqrt(math.Pi/(diffusivity*86400)))
}

// roomTemp is the room the Warming of a Face scales with, °C.
const roomTemp = 20

// Crossings returns for each month the expected number of days on which the
// place cools below 0 °C and thaws again. The daily minimum and
// maximum are taken as normally distributed about their monthly means with the
// spread of climate.DailySigma; a day crosses when
// its minimum lies below and its maximum above: P(min < 0) − P(max < 0).
func Crossings(s *climate.Station, face Face) climate.Months {
	sigma := climate.DailySigma(s)
	var out climate.Months
	for m := range out {
		warm := face.Warming * max(roomTemp-s.Temp[m], 0) / roomTemp
		keep := 1 - face.Damping
		low := s.Temp[m] + warm + keep*(s.TempMin[m]-s.Temp[m])
		high := s.Temp[m] + warm + keep*(s.TempMax[m]-s.Temp[m])
		p := distuv.Normal{Mu: low, Sigma: sigma[m]}.CDF(0) - distuv.Normal{Mu: high, Sigma: sigma[m]}.CDF(0)
		out[m] = float64(climate.Days[m]) * p
	}
	return out
}

// wetFor is the number of days a face stays wet after rain, common practice in
// cool damp weather, no source.
const wetFor = 2

// WetCrossings returns for each month the expected freeze–thaw days that follow
// rain: rain, not snow, fell on at least one of the days for which a face stays wet.
// Days count as independent, which overstates that a little, since wet days come in
// runs; rain and frost count as independent within the month.
func WetCrossings(s *climate.Station, face Face) climate.Months {
	out := Crossings(s, face)
	for m := range out {
		day := s.RainDays[m] / float64(climate.Days[m]) * climate.LiquidShare(s.Temp[m])
		out[m] *= 1 - math.Pow(1-day, wetFor)
	}
	return out
}
