//go:build !race

package simulate_test

import (
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/simulate"
)

// BenchmarkCase is a whole case: the search for the yearly state on the mean year,
// and the judged year with its damage models.
func BenchmarkCase(b *testing.B) {
	mats, stations := defaults(b)
	place, bad := year(b, stations, "seattle", 0), year(b, stations, "seattle", hourly.OneInTen)
	brick := mats["brick_common"]
	wool := []behind{{"vapour_open_coat", 0, false}, {"mineral_wool", 0.06, true}, {"mineral_wool", 0.045, false}, {"variable_retarder", 0, false}, {"gypsum_board", 0.0125, false}}
	for _, c := range []struct {
		name string
		list []behind
	}{{"bare", nil}, {"wool", wool}} {
		b.Run(c.name, func(b *testing.B) {
			w := simulate.NewWorker(&simulate.Materials{})
			k := simulate.Case{Wall: build(b, mats, "brick_common", 0.34, c.list...), Stone: stone(&brick), Skin: simulate.Skin{Factor: 1, Depth: 0.01}, Climate: place, Year: bad,
				Indoor: climate.HumidityLoad(3, 0.5), Azimuth: 200, RainCoefficient: 0.3, Wind: 1, Sun: 1, LeakDepth: 0.1, Places: &places, Timber: [simulate.TimberClasses]bool{true, true, true}, Settings: settings}
			var o simulate.Outcome
			for range b.N {
				var err error
				if o, _, err = w.Run(&k, nil, nil); err != nil || o.Failed {
					b.Fatal(err, o.Failed)
				}
			}
			b.ReportMetric(float64(o.Years), "years")
			b.ReportMetric(float64(o.Steps), "steps")
			b.ReportMetric(o.Rain, "rain-kg")
			b.Logf("%+v", o)
		})
	}
}

// BenchmarkDraw is what a draw costs: a wall near one that has settled, a few mean
// years from its state, and the judged year.
func BenchmarkDraw(b *testing.B) {
	c := setup(b, "brick_common", 0.34, 0.1, wool(0.06)...)
	w := simulate.NewWorker(&simulate.Materials{})
	_, settled, err := w.Run(&c, nil, nil)
	if err != nil {
		b.Fatal(err)
	}
	aw, rain, years, steps := c.Stone.Aw, c.RainCoefficient, 0, int64(0)
	c.Settings.Settle.Hours, c.Settings.CloseEnough = 12, 0.02
	for i := range b.N {
		draw := c
		x := float64(i%8)/8 - 0.5
		draw.Stone.Aw, draw.RainCoefficient, draw.Azimuth = aw*(1+0.5*x), rain*(1-0.4*x), 225+20*x
		o, _, err := w.Run(&draw, settled, nil)
		if err != nil || o.Failed {
			b.Fatal(err, o.Failed)
		}
		years, steps = years+int(o.Years), steps+o.Steps
	}
	b.ReportMetric(float64(years)/float64(b.N), "years")
	b.ReportMetric(float64(steps)/float64(b.N), "steps")
}
