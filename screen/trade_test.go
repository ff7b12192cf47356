package screen_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// Rules that people in the trade hold old walls to, checked over the whole
// path from a building to its judgements. All of them are common practice, no
// source, unless said otherwise.

// per inch as an upper bound: 24 in of rubble are no better than R-6,
// 1.06 m²K/W. Common practice, no source.
func TestBareRubbleIsNoBetterThanR6(t *testing.T) {
	e := defaults()
	rubble := 0
	for id, m := range defaultConfig().Materials {
		if m.Mix == nil {
			continue
		}
		rubble++
		b := with(documented(), facts{"outer_finish": "bare", "inner_finish": "bare"})
		b.Stone = id
		w, err := e.Explain([]ingest.Building{*b}, 0, "repairs_only")
		if err != nil {
			t.Fatal(err)
		}
		r := w.Before.Resistance()
		if r <= 0 || r > 1.06 {
			t.Errorf("%s, 610 mm: R = %.3f m²K/W, trade bound 1.06", id, r)
		}
		// Surface resistances 0.13 and 0.04 m²K/W: ISO 6946:2017 table 7.
		if want := 1 / (r + 0.17); math.Abs(w.Judgement.UBefore-want) > 1e-9 {
			t.Errorf("%s: U = %.4f, 1/(R + 0.17) = %.4f", id, w.Judgement.UBefore, want)
		}
	}
	if rubble < 5 {
		t.Fatalf("only %d rubble rows", rubble)
	}
}

// Exterior insulation ranks first wherever the façade may change. Common
// practice, no source.
func TestExteriorRanksAboveInteriorWhereTheFacadeMayChange(t *testing.T) {
	exteriorAgainstInterior(t, defaults(), func(exterior, interior screen.Judgement, a *answer, inside string) bool {
		return a.rank("exterior_rigid") < a.rank(inside)
	})
}

// Whatever the ranks: with the indoor climate of EN 15026, whose room follows
// the summer, exterior insulation has no worse verdict than any lining.
func TestExteriorHasNoWorseVerdictThanInterior(t *testing.T) {
	e := newEngine(t, map[string]any{"indoor.method": config.IndoorEN15026})
	exteriorAgainstInterior(t, e, func(exterior, interior screen.Judgement, _ *answer, _ string) bool {
		return exterior.Verdict <= interior.Verdict
	})
}

func exteriorAgainstInterior(t *testing.T, e *screen.Engine, ok func(exterior, interior screen.Judgement, a *answer, inside string) bool) {
	for _, stone := range stones() {
		for _, zone := range zones() {
			b := documented()
			b.Stone, b.Zone = stone, zone
			a := judge(e, b)
			for _, inside := range onSide(e, config.SideInterior) {
				x, y := a.by["exterior_rigid"], a.by[inside]
				if !ok(x, y, a, inside) {
					t.Errorf("%s in %s: %s (%v, %.2f to %.2f, %v) against exterior (%v, %.2f to %.2f, %v)", stone, zone,
						inside, y.Verdict, y.Low, y.High, y.Governing.Info().Name, x.Verdict, x.Low, x.High, x.Governing.Info().Name)
				}
			}
		}
	}
}

// The same façade under protection takes exterior insulation out.
func TestProtectedFacadeExcludesExterior(t *testing.T) {
	e := defaults()
	j := judge(e, with(documented(), facts{"protected_facade": "yes"})).by["exterior_rigid"]
	if j.Verdict != screen.NotSuited || !j.Excluded {
		t.Errorf("protected: %v, excluded %v", j.Verdict, j.Excluded)
	}
	if j := judge(e, with(documented(), facts{"protected_facade": "unknown"})).by["exterior_rigid"]; j.Verdict < screen.SurveyFirst {
		t.Errorf("protection unknown: %v", j.Verdict)
	}
}

// Bulk water first. Common practice, no source.
func TestDefectiveRainwaterGoodsHoldEveryInsulation(t *testing.T) {
	e := defaults()
	rapid.Check(t, func(t *rapid.T) {
		b := with(draw(t), facts{"rainwater_goods": "defective"})
		a := judge(e, b)
		for _, id := range onSide(e, config.SideInterior, config.SideExterior) {
			j := a.by[id]
			if j.Verdict == screen.Suited {
				t.Errorf("%s is plainly suited under defective gutters", id)
			}
			if !slices.Contains(stepIDs(e, j.Do), "rainwater_repair") {
				t.Errorf("%s: steps %v lack rainwater_repair", id, stepIDs(e, j.Do))
			}
		}
	})
}

// A cracked inner face is parged in lime before a lining goes on. Common
// practice, no source.
func TestCrackedInnerFaceAsksForLimeParge(t *testing.T) {
	e := defaults()
	for _, state := range []string{"cracked", "loose"} {
		a := judge(e, with(documented(), facts{"inner_condition": state}))
		for _, id := range []string{"interior_wool_retarder", "capillary_active_board", "insulating_lime_plaster"} {
			if j := a.by[id]; !slices.Contains(stepIDs(e, j.Do), "parge_lime") {
				t.Errorf("%s inner face, %s: steps %s", state, id, words(stepIDs(e, j.Do)))
			}
		}
		// The coat comes after the parge, in the order of work.
		steps := stepIDs(e, a.by["interior_wool_retarder"].Do)
		if slices.Index(steps, "parge_lime") > slices.Index(steps, "waterproofing_coat") {
			t.Errorf("coat before parge: %v", steps)
		}
		if v := a.by["interior_wool_retarder"].Verdict; v == screen.Suited {
			t.Errorf("%s inner face: wool is plainly suited", state)
		}
	}
}

// A drained cavity needs a drain to daylight or a sump with a pump. Common practice,
// no source.
func TestDrainedCavityNeedsADrain(t *testing.T) {
	e := defaults()
	for _, stone := range stones() {
		for word, least := range map[string]screen.Verdict{"no": screen.SuitedAfterRepairs, "unknown": screen.SurveyFirst} {
			b := with(documented(), facts{"drain_outlet": word, "embedded_timber": "none"})
			b.Stone = stone
			j := judge(e, b).by["drained_cavity"]
			if j.Verdict < least {
				t.Errorf("%s, drain outlet %s: %v, expected %v or worse", stone, word, j.Verdict, least)
			}
			if sump := slices.Contains(stepIDs(e, j.Do), "sump_pump"); sump != (word == "no") {
				t.Errorf("%s, drain outlet %s: sump and pump %v", stone, word, sump)
			}
		}
	}
}

// A vapour-tight layer shuts embedded timber off from drying. Common practice,
// no source. A cavity that cannot be drained is left out: it is no choice.
func TestFoamNeverRanksAboveVapourOpenChoicesOverTimber(t *testing.T) {
	e := defaults()
	rapid.Check(t, func(t *rapid.T) {
		b := with(draw(t), facts{"embedded_timber": rapid.SampledFrom([]string{"joist_ends", "lintels", "bond_timbers", "several"}).Draw(t, "timber")})
		a := judge(e, b)
		rivals := []string{"interior_wool_retarder"}
		if ingest.DrainOutlet.Levels()[b.Cat[ingest.DrainOutlet]] != "no" {
			rivals = append(rivals, "drained_cavity")
		}
		for _, rival := range rivals {
			if a.rank("tight_foam") < a.rank(rival) {
				t.Errorf("foam above %s: %v", rival, a.order)
			}
		}
	})
}

// More driving rain never makes the face, the wet front or the drying reserve
// look better.
func TestMoreDrivingRainNeverHelps(t *testing.T) {
	e := defaults()
	watched := []indicator.ID{indicator.RainProtection, indicator.WetFront, indicator.DryingReserve}
	rapid.Check(t, func(t *rapid.T) {
		b := draw(t)
		var last *answer
		for _, word := range []string{"sheltered", "moderate", "severe", "very_severe"} {
			a := judge(e, with(b, facts{"exposure": word}))
			for id, j := range a.by {
				for _, ind := range watched {
					if last != nil && j.Utilisation[ind] < last.by[id].Utilisation[ind] {
						t.Errorf("%s %s falls from %.4f to %.4f on the way to %s", id, ind.Info().Name, last.by[id].Utilisation[ind], j.Utilisation[ind], word)
					}
				}
			}
			last = a
		}
	})
}

// A render keeps rain off the stone behind it: it never deepens the wet front.
// Common practice, no source.
func TestRenderNeverDeepensTheWetFront(t *testing.T) {
	e := defaults()
	for _, stone := range stones() {
		b := with(documented(), facts{"exposure": "severe", "outer_finish": "bare"})
		b.Stone = stone
		bare := judge(e, b).by["repairs_only"].Utilisation[indicator.WetFront]
		for _, coat := range []string{"lime_render", "cement_render", "limewash", "silicate_paint"} {
			if u := judge(e, with(b, facts{"outer_finish": coat})).by["repairs_only"].Utilisation[indicator.WetFront]; u > bare*(1+1e-9) {
				t.Errorf("%s: %.3f bare, %.3f under %s", stone, bare, u, coat)
			}
		}
	}
}

// Putting a defect right never makes a verdict worse. Loose lime plaster is the
// exception: it comes off, where sound plaster stays under some linings, so that the
// two are walls of different layers.
func TestRepairNeverWorsensAVerdict(t *testing.T) {
	e := defaults()
	sound := map[string]string{"rainwater_goods": "sound", "joint_condition": "sound", "inner_condition": "sound", "ground_moisture": "dry", "salts": "none"}
	rapid.Check(t, func(t *rapid.T) {
		b := draw(t)
		before := judge(e, b)
		field := rapid.SampledFrom(slices.Sorted(keys(sound))).Draw(t, "field")
		c, _ := ingest.LookupCategory(field)
		was := c.Levels()[b.Cat[c]]
		if was == "loose" && ingest.InnerFinish.Levels()[b.Cat[ingest.InnerFinish]] == "lime_plaster" {
			return
		}
		after := judge(e, with(b, facts{field: sound[field]}))
		for id, j := range after.by {
			if j.Verdict > before.by[id].Verdict {
				t.Errorf("%s from %s to %s: %s goes from %v to %v", field, was, sound[field], id, before.by[id].Verdict, j.Verdict)
			}
		}
	})
}

func keys(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// draw makes a random building: any stone, zone and condition.
func draw(t *rapid.T) *ingest.Building {
	b := &ingest.Building{ID: "R-1", Line: 2}
	b.Stone = rapid.SampledFrom(stones()).Draw(t, "stone")
	b.Zone = rapid.SampledFrom(zones()).Draw(t, "zone")
	for c := range ingest.NumCategories {
		b.Cat[c] = uint8(rapid.IntRange(0, len(c.Levels())-1).Draw(t, c.Name()))
	}
	b.Cat[ingest.Exposure] = max(b.Cat[ingest.Exposure], 1) // the decoder accepts no unknown exposure
	for n := range b.Num {
		b.Num[n] = math.NaN()
	}
	b.Num[ingest.WallThickness] = float64(rapid.IntRange(230, 1000).Draw(t, "mm")) / 1000
	if rapid.Bool().Draw(t, "oriented") {
		b.Num[ingest.Orientation] = float64(rapid.IntRange(0, 360).Draw(t, "orientation"))
	}
	if rapid.Bool().Draw(t, "tall") {
		b.Num[ingest.Storeys] = float64(rapid.IntRange(1, 8).Draw(t, "storeys"))
	}
	return b
}

// Every judgement is a finite number within its bounds, whatever the building.
func TestJudgementsAreFiniteAndOrdered(t *testing.T) {
	e := defaults()
	rapid.Check(t, func(t *rapid.T) {
		for id, j := range judge(e, draw(t)).by {
			for _, x := range []float64{j.Low, j.Typical, j.High, j.UBefore, j.UAfter, j.RAdded, j.Saved, j.Score} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%s: %+v", id, j)
				}
			}
			if !(0 <= j.Low && j.Low <= j.Typical && j.Typical <= j.High && j.High <= indicator.MaxUtilisation) {
				t.Errorf("%s: %s", id, fmt.Sprint(j.Low, j.Typical, j.High))
			}
			if j.UAfter > j.UBefore+1e-9 {
				t.Errorf("%s: U rises from %.4f to %.4f", id, j.UBefore, j.UAfter)
			}
		}
	})
}
