//go:build slow

package screen_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"wallsift/ingest"
	"wallsift/model/climate/hourly"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// What explain and screen allow is what the engine keeps, thickness by thickness.
func TestHourlyAllowance(t *testing.T) {
	flags := hourByHour(map[string]any{"chance.draws": 0})
	few := userFile(t, fewStrategies)
	e := newEngine(t, flags, few)
	limited := 0
	for _, home := range []struct{ stone, zone string }{{"brick_common", "4c"}, {"granite_rubble", "oceanic_wet"}, {"sandstone_rubble", "5a"}} {
		b := with(documented(), facts{"outer_finish": "limewash"}) // which takes no impregnation
		b.Stone, b.Zone = home.stone, home.zone
		b.Num[ingest.WallThickness] = 0.35
		limited += allowancesHold(t, e, b, flags, few)
	}
	if limited == 0 {
		t.Error("no allowance is limited, the check has nothing to check")
	}
}

// A face that lets in as little as is said to be enough keeps the limits when a
// strategy makes it so, one step wetter does not.
func TestDrierFaceIsEnough(t *testing.T) {
	// Rain through hairline cracks of a treated face is left out: the search is for the
	// face alone.
	flags := hourByHour(map[string]any{"chance.draws": 0, "limits.joint_leak_share_skinned.value": 0, "limits.joint_leak_share_skinned.high": 0})
	b := documented()
	b.Stone, b.Zone = "brick_common", "oceanic_wet"
	with(b, facts{"outer_finish": "lime_render", "exposure": "very_severe"})
	w, err := newEngine(t, flags, userFile(t, repairsAlone)).Explain([]ingest.Building{*b}, 0, "repairs_only")
	if err != nil {
		t.Fatal(err)
	}
	d := w.Judgement.Drier
	if !d.Sought || d.Enough <= 0 || d.Enough >= d.Now {
		t.Fatalf("utilisation %.2f, drier face %+v: nothing to check", w.Judgement.Typical, d)
	}
	for _, steps := range []float64{0, 1} {
		lets := d.Enough / d.Now * math.Pow(10, steps/6)
		face := fmt.Sprintf("  repairs_only: {face: {label: Treated, a_w_factor: {low: %[1]g, typical: %[1]g, high: %[1]g}, sd_add: 0, only: [lime_render], source: invented for this test}}\n", lets)
		if j := judge(newEngine(t, flags, userFile(t, repairsAlone+face)), b).by["repairs_only"]; (j.Typical <= 1) != (steps == 0) {
			t.Errorf("a face that lets in %.4f comes to %.3f of the limit, enough is %.4f", lets, j.Typical, d.Enough/d.Now)
		}
	}
}

// The transient tier decides, gives chances and allowances, and keeps to the
// trade: exterior insulation goes first where the face may change. Common
// practice, no source.
func TestHourlyTierDecides(t *testing.T) {
	csv := "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,outer_finish,protected_facade\n" +
		"A,450,sandstone_rubble,oceanic_wet,severe,joist_ends,limewash,no\nB,450,sandstone_rubble,oceanic_wet,severe,joist_ends,limewash,yes\nC,450,sandstone_rubble,oceanic_wet,severe,joist_ends,limewash,unknown\n"
	path := filepath.Join(t.TempDir(), "b.csv")
	if err := os.WriteFile(path, []byte(csv), 0o644); err != nil {
		t.Fatal(err)
	}
	l := load(t, hourByHour(map[string]any{"chance.draws": 16}), userFile(t, fewStrategies))
	s := screenFiles(t, l, path)
	e := s.e
	err := s.run.Each([]uint32{0, 1, 2}, func(i uint32, row *screen.Row) error {
		best := e.Strategies()[row.Judgements[0].Strategy].ID
		if i == 0 && best != "exterior_rigid" {
			t.Errorf("where the face may change %s goes first", best)
		}
		for _, j := range row.Judgements {
			if j.Excluded {
				if j.Tier != indicator.Steady {
					t.Error("what a gate excludes was run")
				}
				continue
			}
			if j.Tier != indicator.Transient || j.Chance < 0 || j.Chance > 1 || j.High < j.Typical && !j.Unlikely || j.Low > j.Typical {
				t.Errorf("building %d: %+v", i, j)
			}
		}
		if i == 2 && (len(row.Survey.Facts) == 0 || row.Survey.Facts[0].Name() != "protected_facade") {
			t.Errorf("find out %v first, expected whether the facade is protected", row.Survey.Facts)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A station's weather file replaces the generated hours.
func TestWeatherFileIsUsed(t *testing.T) {
	l := load(t, hourByHour(nil))
	st := l.Config.Stations["glasgow"]
	h := hourly.Generate(&st, 7, 0)
	var b bytes.Buffer
	b.WriteString("temperature_c,rh,wind_m_s,wind_from_deg,rain_mm,global_w_m2\n")
	for k := range h.Theta {
		for i, x := range []float64{h.Theta[k] + 3, h.RH[k], h.Wind[k], h.WindFrom[k], h.Rain[k], h.Global[k]} {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(strconv.FormatFloat(x, 'g', 8, 64))
		}
		b.WriteByte('\n')
	}
	path := filepath.Join(t.TempDir(), "own.csv")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	home := inventory(t, "a.csv", "A,450,sandstone_rubble,glasgow,moderate,joist_ends\n")
	own := userFile(t, fewStrategies+"stations:\n  glasgow: {weather_file: "+path+"}\n")
	// With chances, which read every quantity the file may lack.
	with := screenFiles(t, load(t, hourByHour(nil), own), home)
	without := screenFiles(t, load(t, hourByHour(map[string]any{"run.weather": "mean"}), userFile(t, fewStrategies)), home)
	a, c := rowsByID(t, with.run)["A"], rowsByID(t, without.run)["A"]
	if len(a) == 0 || a[0].Course == c[0].Course {
		t.Error("the weather file changes nothing")
	}
}

// What was seen of the timber moves a chance one way: sound never raises it, decayed
// never lowers it. All draws are made, so that the same ones are weighed.
func TestWhatWasSeenOfTimberMovesTheChance(t *testing.T) {
	defer screen.LookOnce()()
	e := newEngine(t, hourByHour(map[string]any{"chance.draws": 16}), userFile(t, twoStrategies))
	w := e.NewWorker()
	told := 0
	for _, exposure := range []string{"severe", "very_severe"} {
		seen := map[string]screen.Answer{}
		for _, state := range []string{"unknown", "sound", "decayed"} {
			b := with(aroundBrick(), facts{"exposure": exposure, "timber_state": state, "humidity_class": "unknown"})
			a, err := w.Judge(b)
			if err != nil {
				t.Fatal(err)
			}
			slices.SortFunc(a.Judgements, func(a, b screen.Judgement) int { return int(a.Strategy) - int(b.Strategy) })
			seen[state] = a
		}
		past := seen["unknown"].Past
		if past.Ruined > 0 && past.Ruined < past.Draws {
			told++
		}
		for k, open := range seen["unknown"].Judgements {
			sound, decayed := seen["sound"].Judgements[k].Chance, seen["decayed"].Judgements[k].Chance
			t.Logf("%s, %d of %d draws ruin the wall as it is, %s: chance %.3f sound, %.3f unknown, %.3f decayed",
				exposure, past.Ruined, past.Draws, e.Strategies()[open.Strategy].ID, sound, open.Chance, decayed)
			if sound > open.Chance || decayed < open.Chance {
				t.Errorf("%s: chance %.3f sound, %.3f unknown, %.3f decayed", exposure, sound, open.Chance, decayed)
			}
		}
	}
	if told == 0 {
		t.Error("no wall is ruined in some draws and not in others: nothing to check")
	}
}
