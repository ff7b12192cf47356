//go:build !race

package screen_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// limitWalls are walls that together have something to judge by every row of the
// limits table.
func limitWalls() []*ingest.Building {
	wall := func(stone, zone string, f facts) *ingest.Building {
		b := with(documented(), f)
		b.Stone, b.Zone, b.Num[ingest.WallThickness] = stone, zone, 0.34
		return b
	}
	return []*ingest.Building{
		wall("brick_soft", "6a", facts{"exposure": "very_severe", "joint_condition": "open", "embedded_timber": "several", "humidity_class": "4"}),
		wall("sandstone_dense", "6a", facts{"exposure": "very_severe", "joint_condition": "weathered", "embedded_timber": "lintels"}),
		wall("granite_rubble", "6a", facts{"exposure": "severe", "outer_finish": "film_paint", "embedded_timber": "bond_timbers", "humidity_class": "3"}),
		wall("brick_common", "oceanic_wet", facts{"exposure": "severe", "outer_finish": "film_paint"}),
		wall("brick_dense", "4c", facts{"exposure": "sheltered", "embedded_timber": "none", "humidity_class": "4"}),
	}
}

// measured judges some strategies by every indicator, whatever the defaults ask.
func measured(ids ...string) string {
	var all []string
	for id := range indicator.Count {
		all = append(all, id.Info().Name)
	}
	out := "strategies:\n"
	for _, id := range ids {
		out += "  " + id + ": {indicators: [" + strings.Join(all, ", ") + "]}\n"
	}
	return out
}

// earlyFrost makes a stone that frost harms long before it is full, which those of the
// defaults are not.
const earlyFrost = "materials:\n  sandstone_dense: {s_crit: {low: 0.45, typical: 0.5, high: 0.55}}\n"

// plasterOnly leaves the repairs and a lining that draws water.
const plasterOnly = `strategies:
  exterior_rigid: {drop: true}
  interior_wool_retarder: {drop: true}
  drained_cavity: {drop: true}
  capillary_active_board: {drop: true}
  tight_foam: {drop: true}
`

// Every row of the limits table moves a figure of some wall when it is changed within
// its bounds: by monthly balances, or else hour by hour. A row that moves nothing is
// one that nobody should have to read.
func TestEveryLimitMovesAFigure(t *testing.T) {
	walls := limitWalls()
	files := []string{userFile(t, ungated), userFile(t, measured("interior_wool_retarder", "insulating_lime_plaster")+earlyFrost)}
	judged := func(flags map[string]any) (out []*answer) {
		e := newEngine(t, flags, files...)
		for _, b := range walls {
			out = append(out, judge(e, b))
		}
		return out
	}
	moves := func(id string, base []*answer, flags map[string]any) bool {
		row := defaultConfig().Limits[id]
		for _, end := range row.Possible {
			value := row.Value + 0.5*(end-row.Value)
			if value == row.Value {
				continue
			}
			all := map[string]any{"limits." + id + ".value": value}
			if r := row.Range(); r.Low != r.High {
				all["limits."+id+".low"], all["limits."+id+".high"] = min(r.Low, value), max(r.High, value)
			}
			maps.Copy(all, flags)
			e, err := screen.NewEngine(load(t, all, files...))
			if err != nil {
				continue // another row forbids it
			}
			for i, b := range walls {
				if !maps.Equal(judge(e, b).by, base[i].by) {
					return true
				}
			}
		}
		return false
	}
	steady := map[string]any{"run.tier": "steady"}
	var left []string
	base := judged(steady)
	for _, id := range slices.Sorted(maps.Keys(defaultConfig().Limits)) {
		if !moves(id, base, steady) {
			left = append(left, id)
		}
	}
	t.Logf("%d of %d rows move nothing by monthly balances: %v", len(left), len(defaultConfig().Limits), left)
	hours := map[string]any{"run.tier": "transient", "chance.draws": 0, "engine.max_years": 3}
	walls, files = walls[:2], append(files, userFile(t, plasterOnly)) // in one climate
	base = judged(hours)
	for _, id := range left {
		if !moves(id, base, hours) {
			t.Errorf("limits.%s moves no figure", id)
		}
	}
}
