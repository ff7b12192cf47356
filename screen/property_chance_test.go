//go:build slow

package screen_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// blurred is a list of homes in two zones, each twice: with its facts (…k) and
// with those that spread left open (…u). The seed is that of the facts.
func blurred(homes int, seed uint64) string {
	r := rand.New(rand.NewPCG(seed, 0))
	pick := func(c ingest.Category) string { l := c.Levels()[1:]; return l[r.IntN(len(l))] }
	var out strings.Builder
	for i := range homes {
		stone := []string{"brick_common", "sandstone_rubble"}[r.IntN(2)]
		zone := []string{"oceanic_wet", "continental"}[r.IntN(2)]
		must := fmt.Sprintf("%d,%s,%s,%s", 300+r.IntN(400), stone, zone, pick(ingest.Exposure))
		// Timber as the priors weigh it, the humidity classes that the default spans.
		timber := []string{"none", "joist_ends", "lintels"}[r.IntN(3)]
		fmt.Fprintf(&out, "%dk,%s,%s,%d,%d,%s,%d\n", i, must, timber, r.IntN(360), 1+r.IntN(4), pick(ingest.OuterFinish), 2+r.IntN(3))
		fmt.Fprintf(&out, "%du,%s,unknown,,,unknown,unknown\n", i, must)
	}
	return out.String()
}

func screenBlurred(t *testing.T, rows string, flags map[string]any) map[string][]screen.Judgement {
	t.Helper()
	csv := "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,orientation_deg,storeys,outer_finish,humidity_class\n" + rows
	path := filepath.Join(t.TempDir(), "homes.csv")
	if err := os.WriteFile(path, []byte(csv), 0o600); err != nil {
		t.Fatal(err)
	}
	return rowsByID(t, screenFiles(t, load(t, hourByHour(flags), userFile(t, twoStrategies)), path).run)
}

// Chances are shares, and facts narrow the spread of the governing utilisation, on
// average: not home by home, since the spread about an unlikely value can be
// wider. Common practice, no source; it is what a survey is for.
func TestKnownFactsNarrowTheSpread(t *testing.T) {
	const homes = 12
	got := screenBlurred(t, blurred(homes, 2), map[string]any{"chance.draws": 32})
	var known, open float64
	n := 0
	for i := range homes {
		for _, j := range got[fmt.Sprintf("%dk", i)] {
			for _, k := range got[fmt.Sprintf("%du", i)] {
				if j.Strategy != k.Strategy || j.Tier != indicator.Transient || k.Tier != indicator.Transient || j.Failed || k.Failed {
					continue
				}
				for _, x := range []screen.Judgement{j, k} {
					if !(x.Chance >= 0 && x.Chance <= 1) || !(0 <= x.ChanceLow && x.ChanceLow <= x.ChanceHigh && x.ChanceHigh <= 1) || x.Low > x.Typical {
						t.Errorf("home %d: chance %g, %g to %g, utilisation %g, %g to %g", i, x.Chance, x.ChanceLow, x.ChanceHigh, x.Typical, x.Low, x.High)
					}
				}
				known += math.Log(j.High / max(j.Low, least))
				open += math.Log(k.High / max(k.Low, least))
				n++
			}
		}
	}
	if n < homes {
		t.Fatalf("%d pairs of %d homes", n, homes)
	}
	t.Logf("%d pairs: high over low is %.2f with the facts, %.2f without, in the geometric mean", n, math.Exp(known/float64(n)), math.Exp(open/float64(n)))
	if known >= open {
		t.Errorf("the spread is %.4f with the facts, %.4f without", known/float64(n), open/float64(n))
	}
}

// least is the least utilisation that a spread is measured from.
const least = 0.1
