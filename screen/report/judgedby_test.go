package report

import (
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// Where rows of both methods stand in one table, each says of which it is; where a rule
// excludes a strategy there is no figure of limits, and the caution says why.
func TestTablesSayByWhichMethodARowIsJudged(t *testing.T) {
	for tier, want := range map[string]bool{config.TierSteady: false, config.TierTransient: false, config.TierAuto: true} {
		l, err := config.Load(config.Inputs{Flags: map[string]any{"run.tier": tier}})
		if err != nil {
			t.Fatal(err)
		}
		e, err := screen.NewEngine(l)
		if err != nil {
			t.Fatal(err)
		}
		heads, cells := people(e, "share of the limit", "insulation allowance", "governed by")
		if slices.Contains(heads, "judged by") != want {
			t.Errorf("tier %s: heads %q", tier, heads)
		}
		monthly := screen.Judgement{HasGovern: true, Tier: indicator.Steady, Typical: 0.5, Chance: -1}
		if said := strings.Join(Clauses(SI, e, &ingest.Building{}, &monthly), ""); strings.Contains(said, "of it, by the monthly method.") != want {
			t.Errorf("tier %s: %s", tier, said)
		}
		if why := strings.Contains(TierCaution(tier), "What a rule excludes is not run"); why != (tier != config.TierSteady) {
			t.Errorf("tier %s says why: %v", tier, why)
		}
		if !want {
			continue
		}
		at := slices.Index(heads, "judged by")
		b := &ingest.Building{}
		for word, j := range map[string]screen.Judgement{
			"hourly method":   {HasGovern: true, Tier: indicator.Transient, Typical: 0.5},
			"monthly method":  {HasGovern: true, Tier: indicator.Steady, Typical: 0.5},
			"a rule, not run": {HasGovern: true, Tier: indicator.Steady, Typical: 0.5, Excluded: true},
		} {
			got := cells(&screen.Row{}, b, &j)
			if got[at] != word || (strings.Join(slices.Delete(got, at, at+1), "") == "") != j.Excluded {
				t.Errorf("%q, expected %q", got, word)
			}
		}
	}
}
