//go:build !race

package screen_test

import (
	"testing"

	"pgregory.net/rapid"

	"wallsift/ingest"
	"wallsift/model/damage"
	"wallsift/model/simulate"
)

// What rain wets. Frost cycles are those of the wall itself, before the change
// that insulation makes is taken.
var rainWets = []quantity{
	{"wet front, m", func(r *result) float64 { return r.Front.Value }, hair, 0.01},
	{"mean humidity at joist ends", yearRH(simulate.PlaceTimber), hair, 0},
	{"highest month's humidity at joist ends", topRH(simulate.PlaceTimber), hair, 0},
	{"mean humidity at lintels", yearRH(simulate.PlaceTimber + 1), hair, 0},
	{"timber humidity of its limit", ofTimberLimit, hairOfLimit, 0},
	{"stored water, kg/m²", func(r *result) float64 { return r.Water }, hairOfWater, 0},
	{"damaging frost cycles", func(r *result) float64 { return r.Frost.Cycles }, 0, 0},
}

// ofTimberLimit is the pore humidity at joist ends on their worst day, of its limit.
func ofTimberLimit(r *result) float64 {
	l := defaultConfig().Limits
	line := damage.TimberLine{RH0: l["timber_rh_at_0c"].Value, RH30: l["timber_rh_at_30c"].Value}
	d := line.Worst(r.TimberHumidity[0])
	return d.RH / line.At(d.Theta)
}

// More driving rain never makes a wall drier, whether it comes by exposure, by
// height or by the climate. Common practice, no source.
func TestMoreRainNeverDriesAWall(t *testing.T) {
	var all []string
	for _, s := range inHours().Strategies() {
		all = append(all, s.ID)
	}
	few(t, 8, func(t *rapid.T) {
		less := trial{b: drawn(t, zones()), strategy: rapid.SampledFrom(append(all, "")).Draw(t, "strategy")}
		more := less
		switch rapid.SampledFrom([]string{"exposure", "height", "climate"}).Draw(t, "more rain by") {
		case "exposure":
			less.b.Cat[ingest.Exposure] = min(less.b.Cat[ingest.Exposure], uint8(len(ingest.Exposure.Levels())-2))
			more.b.Cat[ingest.Exposure] = less.b.Cat[ingest.Exposure] + 1
		case "height":
			more.b.Num[ingest.Height] += float64(rapid.IntRange(1, 30).Draw(t, "higher by"))
		case "climate":
			times := rapid.Float64Range(1.05, 2).Draw(t, "rain times")
			more.change = func(c *simulate.Case) { c.RainCoefficient *= times }
		}
		neverFalls(t, less, more, rainWets...)
	})
}

// A larger share of the rain behind the face never makes timber or the wall
// drier. The wet front is left out: what gets behind the face is taken from what
// wets the face, and a face of little uptake is the drier for it.
func TestLeakierJointsNeverDryAWall(t *testing.T) {
	few(t, 6, func(t *rapid.T) {
		sound := trial{b: drawn(t, zones()), strategy: rapid.SampledFrom(onSide(inHours(), "interior", "exterior", "none")).Draw(t, "strategy")}
		leaky := sound
		times := rapid.Float64Range(1.5, 10).Draw(t, "leak times")
		leaky.change = func(c *simulate.Case) { c.LeakShare = min(1, times*c.LeakShare) }
		neverFalls(t, sound, leaky, rainWets[1:6]...)
	})
}

// A damper home never has less mould, at the surface of the room or at the cold
// face of the insulation. Common practice, no source. The index counts to 0.02,
// where the repetition of its years ends.
func TestDamperHomesNeverHaveLessMould(t *testing.T) {
	const ends = 0.02
	mould := []quantity{
		{"mould index at the inner surface", func(r *result) float64 { return r.CornerMould.Value }, ends, 1},
		{"mould index at the cold face", func(r *result) float64 { return r.ColdMould.Value }, ends, 1},
		{"highest month's humidity at the cold face", topRH(simulate.PlaceCold), hair, 0},
	}
	few(t, 6, func(t *rapid.T) {
		dry := trial{b: drawn(t, zones()), strategy: rapid.SampledFrom(onSide(inHours(), "interior", "exterior", "none")).Draw(t, "strategy")}
		class := rapid.IntRange(1, 4).Draw(t, "class")
		damp := dry
		dry.b.Cat[ingest.HumidityClass], damp.b.Cat[ingest.HumidityClass] = uint8(class), uint8(rapid.IntRange(class+1, 5).Draw(t, "damper class"))
		neverFalls(t, dry, damp, mould...)
	})
}
