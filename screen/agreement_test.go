//go:build slow

package screen

import (
	"context"
	"math"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
)

// ownTolerance is how far, as a root mean square, the chances of surfaces may be
// from those of the engine on the same draws. Own choice, of the order of the
// sampling error that is printed with a chance.
const ownTolerance = 0.1

// Chances read off the surfaces are those that the engine itself comes to when it
// runs every draw.
func TestSurfacesAgreeWithEngine(t *testing.T) {
	l, err := config.Load(config.Inputs{Flags: map[string]any{
		"run.tier": config.TierTransient, "chance.samples": 64,
		"strategies.drained_cavity.drop": true, "strategies.tight_foam.drop": true, "strategies.exterior_rigid.drop": true,
		"strategies.insulating_lime_plaster.drop": true,
	}})
	if err != nil {
		t.Fatal(err)
	}
	e, err := NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	var homes []ingest.Building
	for _, home := range []struct {
		stone, zone string
		mm          float64
	}{{"brick_common", "5a", 0.34}, {"sandstone_rubble", "oceanic_wet", 0.5}, {"brick_common", "4c", 0.45}} {
		b := ingest.Building{ID: home.stone, Stone: home.stone, Zone: home.zone}
		for n := range b.Num {
			b.Num[n] = math.NaN()
		}
		b.Num[ingest.WallThickness] = home.mm
		b.Cat[ingest.Exposure] = 2
		homes = append(homes, b)
	}
	sets := e.newSets()
	for i := range homes {
		sets.add(e.zoneIndex[homes[i].Zone], e.stoneIndex[homes[i].Stone], e.NewWorker().Judge(&homes[i], nil))
	}
	learned, err := e.learn(context.Background(), members(sets.zones), members(sets.stones), sets.used, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	s := e.newSampler(learned)
	sum, n, clear := 0.0, 0, 0
	for i := range homes {
		b := &homes[i]
		now := facts{cat: b.Cat, num: &b.Num}
		for _, j := range s.w.Judge(b, nil) {
			if j.Tier != indicator.Transient || j.Failed {
				continue
			}
			run := j
			if err := s.strategy(b, &now, &j); err != nil {
				t.Fatal(err)
			}
			if err := s.w.runSamples(b, &now, &run, s.points); err != nil {
				t.Fatal(err)
			}
			t.Logf("%s, %s: %.2f by the surface, %.2f by the engine", b.ID, e.strategies[j.Strategy].ID, j.Chance, run.Chance)
			sum += (j.Chance - run.Chance) * (j.Chance - run.Chance)
			n++
			if run.Chance > 0 && run.Chance < 1 {
				clear++
			}
		}
	}
	if clear == 0 {
		t.Error("every chance is 0 or 1: the check has nothing to check")
	}
	if rms := math.Sqrt(sum / float64(n)); rms > ownTolerance {
		t.Errorf("chances are off by %.3f (root mean square of %d)", rms, n)
	}
}
