//go:build slow

package screen_test

import (
	"fmt"
	"strings"
	"sync"
	"testing"

	"wallsift/ingest"
	"wallsift/model/indicator"
)

// leastStanding is the share of sheltered and moderate walls, sound and open to
// vapour, that must keep the timber limits as they are: such walls have stood for a
// century with their timber. Screening choice of this tool.
const leastStanding = 0.9

// Walls with sound joints and gutters, bare or under lime, are still standing with
// their joist ends. Judged as they are, most must keep the timber limits; a model
// that condemns them is wrong. The table shows by what it does.
func TestStandingWallsKeepTheirTimber(t *testing.T) {
	e := newEngine(t, hourByHour(map[string]any{"chance.draws": 0}), userFile(t, repairsAlone))
	type place struct{ exposure, stone, coat, zone string }
	var walls []place
	for _, exposure := range []string{"sheltered", "moderate", "severe", "very_severe"} {
		for _, stone := range []string{"brick_common", "brick_dense", "sandstone_rubble", "limestone_rubble", "granite_rubble"} {
			for _, coat := range []string{"bare", "limewash", "lime_render"} {
				for _, zone := range []string{"oceanic_wet", "oceanic_mild", "4a", "5a", "6a", "nordic_coast"} {
					walls = append(walls, place{exposure, stone, coat, zone})
				}
			}
		}
	}
	kept := make([]bool, len(walls))
	var wg sync.WaitGroup
	for first := range 2 {
		wg.Go(func() {
			for i := first; i < len(walls); i += 2 {
				p := walls[i]
				b := with(documented(), facts{"exposure": p.exposure, "outer_finish": p.coat})
				if b.Stone, b.Zone = p.stone, p.zone; strings.HasPrefix(p.stone, "brick") {
					b.Num[ingest.WallThickness] = 0.34
				}
				j := judge(e, b).by["repairs_only"]
				kept[i] = max(j.Utilisation[indicator.TimberHumidity], j.Utilisation[indicator.TimberDecay]) <= 1 && !j.Failed
			}
		})
	}
	wg.Wait()
	var table strings.Builder
	share := func(of string, pick func(place) string) map[string]float64 {
		n, k, order := map[string]int{}, map[string]int{}, []string{}
		for i, p := range walls {
			if n[pick(p)]++; n[pick(p)] == 1 {
				order = append(order, pick(p))
			}
			if kept[i] {
				k[pick(p)]++
			}
		}
		out := map[string]float64{}
		for _, x := range order {
			out[x] = float64(k[x]) / float64(n[x])
			fmt.Fprintf(&table, "| %s | %s | %d of %d | %.0f %% |\n", of, x, k[x], n[x], 100*out[x])
		}
		return out
	}
	exposed := share("exposure", func(p place) string { return p.exposure })
	share("stone", func(p place) string { return p.stone })
	share("coat", func(p place) string { return p.coat })
	share("climate", func(p place) string { return p.zone })
	t.Logf("walls as they are that keep the timber limits, typical case\n\n| of | which | kept | share |\n|---|---|---|---|\n%s", table.String())
	for _, x := range []string{"sheltered", "moderate"} {
		if exposed[x] < leastStanding {
			t.Errorf("%s: %.0f %% of the walls keep the timber limits", x, 100*exposed[x])
		}
	}
}
