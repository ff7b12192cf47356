//go:build slow

package screen_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
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
		b := documented()
		b.Stone, b.Zone = home.stone, home.zone
		limited += allowancesHold(t, e, b, flags, few)
	}
	if limited == 0 {
		t.Error("no allowance is limited, the check has nothing to check")
	}
}

// A face as dry as is said to be enough keeps the limits when the inventory says
// that it was measured, one step wetter does not.
func TestDrierFaceIsEnough(t *testing.T) {
	e := newEngine(t, hourByHour(nil), userFile(t, fewStrategies))
	b := documented()
	b.Stone, b.Zone = "brick_common", "oceanic_wet"
	with(b, facts{"outer_finish": "lime_render", "exposure": "very_severe"})
	w, err := e.Explain(b, "repairs_only") // treats no face, so that a measured A_w is that of the face as judged
	if err != nil {
		t.Fatal(err)
	}
	d := w.Judgement.Drier
	if !d.Sought || d.Enough <= 0 || d.Enough >= d.Now {
		t.Fatalf("utilisation %.2f, drier face %+v: nothing to check", w.Judgement.Typical, d)
	}
	for _, aw := range []float64{d.Enough, d.Enough * math.Pow(10, 1.0/6)} {
		b.Num[ingest.WaterAbsorption] = aw
		if j := judge(e, b).by["repairs_only"]; (j.Typical <= 1) != (aw == d.Enough) {
			t.Errorf("A_w %.4f of the face comes to %.3f of the limit, enough is %.4f", aw, j.Typical, d.Enough)
		}
	}
}

// The transient tier decides, gives chances and allowances, and keeps to the
// trade: exterior insulation goes first where the face may change. Common
// practice, no source.
func TestHourlyTierDecides(t *testing.T) {
	csv := "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,protected_facade\n" +
		"A,450,sandstone_rubble,oceanic_wet,moderate,joist_ends,no\nB,450,sandstone_rubble,oceanic_wet,moderate,joist_ends,yes\nC,450,sandstone_rubble,oceanic_wet,moderate,joist_ends,unknown\n"
	path := filepath.Join(t.TempDir(), "b.csv")
	if err := os.WriteFile(path, []byte(csv), 0o644); err != nil {
		t.Fatal(err)
	}
	l := load(t, hourByHour(nil), userFile(t, fewStrategies))
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
			if j.Tier != indicator.Transient || j.Chance < 0 || j.Chance > 1 || j.High < j.Typical || j.Low > j.Typical {
				t.Errorf("building %d: %+v", i, j)
			}
		}
		if i == 2 && row.Survey.Facts[0].Name() != "protected_facade" {
			t.Errorf("find out %q first, expected whether the facade is protected", row.Survey.Facts[0].Name())
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
	h, err := hourly.Generate(&st, 7, 0)
	if err != nil {
		t.Fatal(err)
	}
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
