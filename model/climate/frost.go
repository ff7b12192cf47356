package climate

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Damping returns the share of the daily temperature swing that is lost at a
// depth (m) in a thick stone of the given thermal diffusivity (m²/s):
// 1 − exp(−x·√(π/(α·24 h))), the semi-infinite solid (Carslaw & Jaeger).
func Damping(depth, diffusivity float64) float64 {
	return 1 - math.Exp(-depth*math.Sqrt(math.Pi/(diffusivity*86400)))
}

// Crossings returns for each month the expected number of days on which a place in a
// wall cools below 0 °C and thaws again. Of the daily swing of the air the share
// damping (0–1) is lost on the way to it; heat from inside, of a room at IndoorTemp,
// lifts it above the air by warming (K) in a month at 0 °C mean. At 0 and 0 the place
// is the air itself. The daily minimum and maximum are taken as normally distributed
// about their monthly means with the spread of DailySigma; a day crosses when its
// minimum lies below and its maximum above: P(min < 0) − P(max < 0).
func Crossings(s *Station, damping, warming float64) Months {
	sigma := DailySigma(s)
	var out Months
	for m := range out {
		warm := warming * max(IndoorTemp-s.Temp[m], 0) / IndoorTemp
		keep := 1 - damping
		low := s.Temp[m] + warm + keep*(s.TempMin[m]-s.Temp[m])
		high := s.Temp[m] + warm + keep*(s.TempMax[m]-s.Temp[m])
		p := distuv.Normal{Mu: low, Sigma: sigma[m]}.CDF(0) - distuv.Normal{Mu: high, Sigma: sigma[m]}.CDF(0)
		out[m] = float64(Days[m]) * p
	}
	return out
}

// wetFor is the number of days a face stays wet after rain, common practice in
// cool damp weather, no source.
const wetFor = 2

// WetCrossings returns for each month the expected days of Crossings that follow
// rain: rain, not snow, fell on at least one of the days for which a face stays wet.
// Days count as independent, which overstates that a little, since wet days come in
// runs; rain and frost count as independent within the month.
func WetCrossings(s *Station, damping, warming float64) Months {
	out := Crossings(s, damping, warming)
	for m := range out {
		day := s.RainDays[m] / float64(Days[m]) * LiquidShare(s.Temp[m])
		out[m] *= 1 - math.Pow(1-day, wetFor)
	}
	return out
}
