//go:build slow

package simulate_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
)

// mostMisses is the share of random walls in which screening numerics may be off
// by more than is allowed below. Own choice.
const mostMisses = 0.05

// The numerics of a screening run against much finer ones, over random walls. What
// is allowed is own choice: 3 % of the limit for the timber, 5 % of stored water,
// a tenth of the limit for the mould index at the cold face.
func TestScreeningNumericsOverRandomWalls(t *testing.T) {
	mats, stations := defaults(t)
	var stones []string
	for id, m := range mats {
		if m.IsMasonry() {
			stones = append(stones, id)
		}
	}
	slices.Sort(stones)
	linings := map[string][]behind{
		"wool":    wool(0.06),
		"board":   {{"lime_parge", 0.008, false}, {"calcium_silicate", 0.05, true}, {"lime_plaster", 0.006, false}},
		"plaster": {{"insulating_lime_plaster", 0.05, true}, {"lime_plaster", 0.004, false}},
		"foam":    {{"closed_cell_foam", 0.05, true}, {"gypsum_board", 0.0125, false}},
	}
	names := slices.Sorted(maps.Keys(linings))
	r := rand.New(rand.NewPCG(1, 2))
	walls, misses := 0, map[string]int{}
	for range 60 {
		id, lining := stones[r.IntN(len(stones))], names[r.IntN(len(names))]
		c := setup(t, id, 0.23+0.77*r.Float64(), 0.02+0.2*r.Float64(), linings[lining]...)
		place := []string{"glasgow", "munich", "oslo", "prague"}[r.IntN(4)]
		c.Climate, c.Year, c.Indoor = year(t, stations, place, 0), year(t, stations, place, hourly.OneInTen), climate.HumidityLoad(1+r.IntN(4), 1)
		c.Azimuth = float64(r.IntN(360))
		c.Settings = screening
		rough := run(t, c)
		c.Settings = fineSettings
		fine := run(t, c)
		if rough.Unsettled || fine.Unsettled || rough.Unfrozen != fine.Unfrozen {
			continue
		}
		walls++
		what := fmt.Sprintf("%s %.0f mm, %s, %s", id, 1000*c.Wall.Layers[0].Thickness, lining, place)
		for _, x := range []struct {
			name          string
			a, b, allowed float64
		}{
			{"timber humidity of its limit", timber(&rough), timber(&fine), 0.03 * timber(&fine)},
			{"stored water", rough.Water, fine.Water, 0.05 * fine.Water},
			{"mould index at the cold face", rough.ColdMould.Value, fine.ColdMould.Value, 0.1 * limits.MouldCold},
		} {
			if math.Abs(x.a-x.b) > x.allowed {
				misses[x.name]++
				t.Logf("%s: %s %.4f, finer %.4f", what, x.name, x.a, x.b)
			}
		}
	}
	for name, n := range misses {
		if float64(n) > mostMisses*float64(walls) {
			t.Errorf("%s is off in %d of %d walls", name, n, walls)
		}
	}
}
