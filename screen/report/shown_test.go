package report_test

import (
	"slices"
	"testing"

	"wallsift/config"
	"wallsift/screen/report"
)

// Of more homes than are shown in full, those at the top of the overall order and
// of each strategy are, in order of place, and each once.
func TestShownAreTheTopsOfAllRankings(t *testing.T) {
	const most = 40
	l, err := config.Load(config.Inputs{Flags: map[string]any{"run.tier": config.TierSteady, "output.full_homes": most}})
	if err != nil {
		t.Fatal(err)
	}
	e, run := screenedBy(t, l, demoCSV)
	v, err := report.NewVisits(e, run)
	if err != nil {
		t.Fatal(err)
	}
	shown := report.Shown(e, run, v)
	if len(shown) != most || !slices.IsSorted(shown) || len(slices.Compact(slices.Clone(shown))) != most {
		t.Fatalf("%v", shown)
	}
	for _, order := range append(run.Ranks.Order, run.Ranks.Overall) {
		for _, building := range order[:min(4, len(order))] { // eight rankings in turn
			if !slices.Contains(shown, slices.Index(run.Ranks.Overall, building)) {
				t.Errorf("building %d, at the top of a ranking, is not shown", building)
			}
		}
	}
}
