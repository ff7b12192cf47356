package screen

import (
	"testing"

	"wallsift/model/indicator"
)

// A quick run is done again where any limit is near, whichever governs, and not where
// one is exceeded for certain.
func TestNearAnyLimit(t *testing.T) {
	for _, c := range []struct {
		name string
		u    map[indicator.ID]float64
		near bool
	}{
		{"far below", map[indicator.ID]float64{indicator.TimberHumidity: 0.9, indicator.SurfaceMould: 0.5}, false},
		{"timber just below", map[indicator.ID]float64{indicator.TimberHumidity: 0.99}, true},
		{"timber just above", map[indicator.ID]float64{indicator.TimberHumidity: 1.01}, true},
		{"timber clearly above", map[indicator.ID]float64{indicator.TimberHumidity: 1.02}, false},
		{"mould behind timber that governs", map[indicator.ID]float64{indicator.TimberHumidity: 0.9, indicator.SurfaceMould: 0.7}, true},
		{"frost near while mould is exceeded", map[indicator.ID]float64{indicator.ColdFaceMould: 1.5, indicator.Frost: 0.95}, false},
		{"frost near", map[indicator.ID]float64{indicator.Frost: 0.85}, true},
		{"nothing judged", nil, false},
	} {
		var r indicator.Result
		for id, u := range c.u {
			r[id].Utilisation = u
		}
		if got := near(&r); got != c.near {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
