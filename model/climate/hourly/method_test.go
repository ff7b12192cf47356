package hourly_test

import (
	"math"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
)

// Method stands in the keys of engine runs for the hours themselves. Sums over the
// hours of a made-up station, each weighted by its hour, as this build made them
// when the method got its name: where one moves, raise Method and write down the new
// ones. Tolerance: processors may round differently.
func TestMethodNamesTheHours(t *testing.T) {
	level := func(mean, swing float64) (m climate.Months) {
		for i := range m {
			m[i] = mean - swing*math.Cos(2*math.Pi*float64(i)/12)
		}
		return m
	}
	s := climate.Station{ID: "made_up", Zone: "4A", Koppen: "Cfb", Latitude: 50, Temp: level(10, 7), TempMin: level(6, 6), TempMax: level(14, 8),
		RH: level(0.8, -0.05), Wind: level(4, -1), Rain: level(70, -10), RainDays: level(12, -2), Sun: level(120, 90), RainFrom: 225, Source: "made up"}
	h := generate(t, &s, 7, 0.5)
	for _, c := range []struct {
		method, name string
		list         []float64
		want         float64
	}{
		{"hours-1", "temperature", h.Theta, 405288294.2}, {"hours-1", "humidity", h.RH, 30593152.16}, {"hours-1", "wind", h.Wind, 154222228.9}, {"hours-1", "direction", h.WindFrom, 7759658276},
		{"hours-1", "rain", h.Rain, 3832794.264}, {"hours-1", "direct sun", h.DirectNormal, 4852058410}, {"hours-1", "sky", h.SkyTheta, 111421892.7},
	} {
		sum := 0.0
		for k, x := range c.list {
			sum += x * float64(k+1)
		}
		if c.method != hourly.Method || math.Abs(sum-c.want) > 1e-6*math.Abs(c.want) {
			t.Errorf("%s by %s: %v, by %s it was %v", c.name, hourly.Method, sum, c.method, c.want)
		}
	}
}
