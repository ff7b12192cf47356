package screen

import (
	"slices"
	"testing"

	"wallsift/model/indicator"
	"wallsift/model/sampling"
	"wallsift/model/simulate"
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
		run := trial{outcome: &simulate.Outcome{}}
		for id, u := range c.u {
			run.result[id].Utilisation = u
		}
		if got := run.near(); got != c.near {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A quick run that failed says nothing of what a fine one comes to.
func TestFailedQuickRunIsNear(t *testing.T) {
	run := trial{outcome: &simulate.Outcome{Failed: true}}
	run.result[indicator.TimberHumidity].Utilisation = 99
	if !run.near() {
		t.Error("it counts as an answer")
	}
}

// Facings are run finely that may be the worst by any measure, not only by the one that
// governs the quick runs.
func TestFacingsThatMayBeTheWorst(t *testing.T) {
	facing := func(azimuth float64, u map[indicator.ID]float64) trial {
		run := trial{facing: azimuth, outcome: &simulate.Outcome{}}
		for id, x := range u {
			run.result[id] = indicator.Finding{Applies: true, Utilisation: x}
		}
		return run
	}
	may, near := worstOf([]trial{
		facing(10, map[indicator.ID]float64{indicator.TimberHumidity: 0.90}),
		facing(20, map[indicator.ID]float64{indicator.TimberHumidity: 0.89}),
		facing(30, map[indicator.ID]float64{indicator.TimberHumidity: 0.86}),
		facing(40, map[indicator.ID]float64{indicator.TimberHumidity: 0.70, indicator.SurfaceMould: 0.62}),
		facing(50, map[indicator.ID]float64{indicator.WetFront: 0.60}),
	})
	if want := []float64{10, 20, 40}; !slices.Equal(may, want) {
		t.Errorf("run finely %v, want %v", may, want)
	}
	if want := []float64{10, 20, 30}; !slices.Equal(near, want) {
		t.Errorf("followed %v, want %v", near, want)
	}
}

// Draws near the limit are run finely only where the answer is another with them on the
// other side.
func TestOnlyWhatTheAnswerHangsOn(t *testing.T) {
	rule := sampling.Rule{Below: 0.1, Above: 0.7, Confidence: 0.9}
	for _, c := range []struct {
		name        string
		under, over int // draws clear of the limit
		unsure      int // just below it
		hangs       bool
	}{
		{"none unsure", 8, 0, 0, false},
		{"one of nine may make it a doubt", 8, 0, 1, true},
		{"two of 32 leave it in doubt", 16, 14, 2, false},
		{"one of 16 leaves it exceeded", 0, 15, 1, false},
		{"all may be either", 0, 0, 8, true},
	} {
		d := &drawn{}
		add := func(n int, log float64, unsure bool) {
			for range n {
				d.logs, d.unsure, d.weights = append(d.logs, log), append(d.unsure, unsure), append(d.weights, 1)
			}
		}
		add(c.under, -0.2, false)
		add(c.over, 0.2, false)
		add(c.unsure, -0.01, true)
		if got := d.hangs(rule); got != c.hangs {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
