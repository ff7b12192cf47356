package indicator

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wallsift/model/damage"
	"wallsift/model/material"
	"wallsift/model/rain"
	"wallsift/model/steady"
	"wallsift/model/wall"
)

// limits are round figures, so that cases can be worked by hand.
var limits = Limits{
	SurfaceRH: 0.80, Rsi: 0.13, RsiMould: 0.25, Rse: 0.04, SliceR: 0.25, Condensate: 1, CondensateNonabsorbent: 0.5, AbsorbentAw: 0.0083,
	Timber: damage.TimberLine{RH0: 0.95, RH30: 0.86}, AirLeak: 0.1, FrostMore: 0, RainWHigh: 0.5, RainWMedium: 2, RainSdMax: 2, RainWSdMax: 0.2, RainMediumFrom: 60, RainHighFrom: 120,
	WetFrontShare: 0.67, FrostDepth: 0.01, FrostZone: 0.02, FrostCyclesMin: 10,
}

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

func expect(t *testing.T, what string, v Finding, demand, limit, utilisation, tol float64) {
	t.Helper()
	if !v.Applies || !near(v.Demand, demand, tol) || !near(v.Limit, limit, tol) || !near(v.Utilisation, utilisation, tol) {
		t.Errorf("%s: %+v, by hand %v / %v = %v", what, v, demand, limit, utilisation)
	}
}

func TestFindingIsDemandByLimitAndCapped(t *testing.T) {
	for _, c := range [][3]float64{
		{1, 2, 0.5}, {2, 1, 2}, {0, 1, 0}, {-3, 1, 0}, {0, 0, 0}, {1, 0, MaxUtilisation}, {1, -1, MaxUtilisation}, {1e9, 1, MaxUtilisation},
		{98, 1, 98}, {100, 1, MaxUtilisation}, {math.Inf(1), 1, MaxUtilisation}, {1, math.Inf(1), 0},
		// A number that is not one is never taken for a good answer.
		{math.NaN(), 1, MaxUtilisation}, {1, math.NaN(), MaxUtilisation},
	} {
		if got := Compare(c[0], c[1], -1).Utilisation; got != c[2] {
			t.Errorf("%v of %v: %v, expected %v", c[0], c[1], got, c[2])
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		u := Compare(rapid.Float64().Draw(t, "demand"), rapid.Float64().Draw(t, "limit"), 0).Utilisation
		if !(u >= 0 && u <= MaxUtilisation) {
			t.Errorf("utilisation %v", u)
		}
	})
}

func constant(te, pe, ti, pi float64) *[12]steady.Month {
	var m [12]steady.Month
	for i := range m {
		m[i] = steady.Month{Te: te, Pe: pe, Ti: ti, Pi: pi}
	}
	return &m
}

// DIN 4108-2: at −5 °C outside, 20 °C and 50 % RH inside and Rsi 0.25, the
// surface stays below 80 % RH from fRsi = 0.70 (12.6 °C) on. A layer of
// R = 0.83 has fRsi = 0.87/1.12 = 0.7768.
func TestSurfaceMouldWorkedExample(t *testing.T) {
	layer := func(r float64) *wall.Wall { return &wall.Wall{N: 1, Layers: [wall.MaxLayers]wall.Layer{{R: r}}} }
	in := &Monthly{Wall: layer(0.83), Months: constant(-5, 321, 20, 0.5*2337), Limits: &limits}
	v := in.surfaceMould()
	if !near(1-v.Limit, 0.70, 0.01) {
		t.Errorf("fRsi,min %.4f, DIN 4108-2 0.70", 1-v.Limit)
	}
	if !near(1-v.Demand, 0.776786, 1e-6) || !near(v.Utilisation, v.Demand/v.Limit, 1e-12) {
		t.Errorf("%+v", v)
	}
	// At the limit the utilisation is 1: R that gives fRsi = fRsi,min.
	need := 1 - v.Limit
	in.Wall = layer(0.25*need/(1-need) - 0.04)
	if v := in.surfaceMould(); !near(v.Utilisation, 1, 1e-9) {
		t.Errorf("at the limit: %v", v.Utilisation)
	}
	// Without a cold month there is nothing to judge.
	in.Months = constant(20, 1000, 20, 1168)
	if v := in.surfaceMould(); v.Applies {
		t.Errorf("no cold month: %+v", v)
	}
}

// coldWall is masonry (R 0.2, s_d 5 m) lined with insulation (R 2, s_d 0.1 m).
func coldWall(stoneAw, insulationAw float64) *wall.Wall {
	r := func(x float64) material.Range { return material.Range{Low: x, Typical: x, High: x} }
	w := new(wall.Wall)
	w.Add(wall.NewLayer(&material.Material{MuDry: 10, MuWet: 10, Aw: r(stoneAw)}, 0.5, 2.5, 0, wall.Masonry))
	w.Add(wall.NewLayer(&material.Material{MuDry: 1.25, MuWet: 1.25, Aw: r(insulationAw)}, 0.08, 0.04, 0, wall.Sized))
	return w
}

// The Glaser sum by hand, 0 °C and 488.4 Pa outside, 20 °C and 1168.5 Pa inside
// all year. Interface at 20·0.24/2.37 = 2.0253 °C, where saturation is
// 610.5·exp(17.269·2.0253/239.3253) = 706.6 Pa, so
// g = 2e-10·((1168.5 − 706.6)/0.1 − (706.6 − 488.4)/5) = 9.152e-7 kg/m²s.
// (ISO 13788:2012, clause 6.)
func TestCondensateWorkedExample(t *testing.T) {
	const seconds = 365 * 86400
	theta := 20 * 0.24 / 2.37
	psat := 610.5 * math.Exp(17.269*theta/(237.3+theta))
	held := 2e-10 * ((1168.5-psat)/0.1 - (psat-488.4)/5) * seconds
	for _, c := range []struct {
		stone, insulation, limit float64
	}{{0.1, 0.1, 1}, {0.1, 0, 0.5}, {0.001, 0.1, 0.5}} {
		var ws Workspace
		in := Monthly{Wall: coldWall(c.stone, c.insulation), Months: constant(0, 488.4, 20, 1168.5), TimberDepth: 0.1, Which: Set(0).With(Condensate), Limits: &limits}
		r, ok := in.Judge(&ws)
		if !ok {
			t.Fatal("the wall does not fit")
		}
		expect(t, "condensate", r[Condensate], held, c.limit, held/c.limit, 1e-5*held/c.limit)
		if !near(ws.Year.Condensed, held, 1e-5*held) {
			t.Errorf("condensed %v kg/m²a, by hand %v", ws.Year.Condensed, held)
		}
		// The face keeps (0.04 + 0.004)/2.37 of the warmth at 10 mm.
		if w := Warming(in.Wall, &limits); !near(w, 0.044/2.37, 1e-12) {
			t.Errorf("warming %v", w)
		}
	}
	// Dry air inside: nothing condenses.
	var ws Workspace
	in := Monthly{Wall: coldWall(0.1, 0), Months: constant(0, 488.4, 20, 500), TimberDepth: 0.1, Which: Set(0).With(Condensate), Limits: &limits}
	r, _ := in.Judge(&ws)
	expect(t, "no condensate", r[Condensate], 0, 1, 0, 1e-12)
}

// Limits on the line from 95 % at 0 °C to 86 % at 30 °C (WTA 6-8, from memory):
// 90.5 % at 15 °C, 92 % at 10 °C.
func TestTimberHumidityWorkedExample(t *testing.T) {
	var c steady.Condensation
	for m := range c.MarkRH {
		c.MarkRH[m], c.MarkTheta[m] = 0.70, 10
	}
	c.MarkRH[3], c.MarkTheta[3] = 0.8145, 15 // 0.8145/0.905 = 0.9
	c.MarkRH[4], c.MarkTheta[4] = 0.8188, 10 // 0.8188/0.92 = 0.89
	v := (&Workspace{Monthly: Monthly{Timber: true, Limits: &limits}, Year: c}).timberHumidity()
	expect(t, "timber", v, 0.8145, 0.905, 0.9, 1e-12)
	if v.Month != 3 {
		t.Errorf("month %d", v.Month)
	}
	if v := (&Workspace{Monthly: Monthly{Limits: &limits}, Year: c}).timberHumidity(); v.Applies {
		t.Error("timber is judged where there is none")
	}
}

// 0.1 by air leaks, 1 % of 200 l/m²a, and what condenses, against what the plane
// gives off; a wall between vapour-tight faces gives off nothing to speak of.
func TestDryingReserveWorkedExample(t *testing.T) {
	var ws Workspace
	in := Monthly{Wall: coldWall(0.1, 0.1), Months: constant(0, 488.4, 20, 1168.5), TimberDepth: 0.1, Rain: rain.Normals{Annual: 200}, LeakShare: 0.01,
		Which: Set(0).With(DryingReserve), Limits: &limits}
	r, _ := in.Judge(&ws)
	// All year the plane at 706.6 Pa dries outward by 2e-10·(706.6 − 488.4)/5 and
	// takes up more from the room: no net drying.
	if v := r[DryingReserve]; !near(v.Demand, 2.1+ws.Year.Condensed, 1e-9) || v.Limit != 0 || v.Utilisation != MaxUtilisation {
		t.Errorf("%+v", v)
	}
	in.Months = constant(10, 800, 20, 800)
	r, _ = in.Judge(&ws)
	if v := r[DryingReserve]; !near(v.Demand, 2.1, 1e-12) || !(v.Limit > 2.1) {
		t.Errorf("dry air: %+v", v)
	}
}

// DIN 4108-3 (from memory): w ≤ 2.0 and s_d ≤ 2 m for medium load; w ≤ 0.5,
// s_d ≤ 2 m and w·s_d ≤ 0.2 for high load. A_w 0.02 kg/m²√s is w = 1.2.
func TestRainProtectionWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		name                                     string
		load, aw, sd, demand, limit, utilisation float64
	}{
		{"medium, w governs", 100, 0.02, 0.1, 1.2, 2, 0.6},
		{"medium, s_d governs", 100, 0.02, 3, 3, 2, 1.5},
		{"high, w governs", 200, 0.02, 0.1, 1.2, 0.5, 2.4},
		{"high, w·s_d governs", 200, 0.005, 1.8, 0.54, 0.2, 2.7},
		{"high, s_d governs", 200, 0.0001, 3, 3, 2, 1.5},
		{"bound of medium load", 60, 0.02, 0.1, 1.2, 2, 0.6},
		{"bound of high load", 120, 0.02, 0.1, 1.2, 0.5, 2.4},
	} {
		in := &Monthly{Wall: &wall.Wall{Face: wall.Face{Aw: c.aw, Sd: c.sd}}, Rain: rain.Normals{Annual: c.load}, Limits: &limits}
		expect(t, c.name, in.rainProtection(), c.demand, c.limit, c.utilisation, 1e-9)
	}
	low := (&Monthly{Wall: &wall.Wall{Face: wall.Face{Aw: 1, Sd: 9}}, Rain: rain.Normals{Annual: 59}, Limits: &limits}).rainProtection()
	if low.Utilisation != 0 || !low.Applies {
		t.Errorf("low load asks nothing of the face: %+v", low)
	}
}

// A_w 0.05 over 9 h of rain: 0.05·√32400 = 9 kg/m² of the 20 that fall; in
// masonry of w_f 150 that wets 60 mm, and 0.67 of 300 mm may be wet.
func TestWetFrontWorkedExample(t *testing.T) {
	w := &wall.Wall{Face: wall.Face{Aw: 0.05}, N: 1, Layers: [wall.MaxLayers]wall.Layer{{Thickness: 0.3}}}
	in := &Monthly{Wall: w, MasonryAw: 0.05, MasonryWf: 150, Rain: rain.Normals{Spell: 20, SpellHours: 9}, Limits: &limits}
	expect(t, "capillarity bounds it", in.wetFront(), 0.06, 0.201, 0.06/0.201, 1e-12)
	in.Rain.Spell = 3 // less falls than could be drawn in
	expect(t, "the rain bounds it", in.wetFront(), 0.02, 0.201, 0.02/0.201, 1e-12)
}

// w_f 200, w_80 10: 3 kg/m² in 20 mm make 10 + 150 = 160 kg/m³, a filling of 0.8;
// five cycles of the ten that count fully halve it: 0.4 of 0.85.
func TestFrostWorkedExample(t *testing.T) {
	in := &Monthly{Wall: &wall.Wall{Face: wall.Face{Aw: 1, Wf: 200, W80: 10, Scrit: 0.85}}, Rain: rain.Normals{Spell: 3, SpellHours: 9}, FrostCycles: 5, Limits: &limits}
	expect(t, "half the cycles", in.frost(), 0.4, 0.85, 0.4/0.85, 1e-12)
	in.FrostCycles = 40
	expect(t, "many cycles", in.frost(), 0.8, 0.85, 0.8/0.85, 1e-12)
	in.Rain.Spell = 50 // free saturation bounds it
	expect(t, "soaked", in.frost(), 1, 0.85, 1/0.85, 1e-12)
	in.Wall.Face.Scrit = 1.2 // resists however wet
	expect(t, "resistant", in.frost(), 1, 1.2, 1/1.2, 1e-12)
	in.FrostCycles = 0
	expect(t, "no frost", in.frost(), 0, 1.2, 0, 1e-12)
	in.Wall.Face.Scrit = 0
	if v := in.frost(); v.Applies || !v.NotJudged {
		t.Errorf("without data: %+v", v)
	}
}

// Two frosts did damage before: the third fullest is the first that the measure
// can be blamed for. Where it may add two, it is the fifth. Beyond those kept the
// last stands for the rest; without data nothing is judged.
func TestFrostAdded(t *testing.T) {
	before, after := damage.FrostYear{Cycles: 2}, damage.FrostYear{Critical: 0.5}
	for i := range after.Fullest {
		after.Fullest[i] = damage.FrostPeak{Filling: 1 - float32(i)/32, Hour: int16(24 * i)}
	}
	l := limits
	l.FrostMore = 0
	expect(t, "one more than before", FrostAdded(&before, &after, &l), 1-2.0/32, 0.5, 2*(1-2.0/32), 1e-12)
	l.FrostMore = 2
	expect(t, "two allowed", FrostAdded(&before, &after, &l), 1-4.0/32, 0.5, 2*(1-4.0/32), 1e-12)
	l.FrostMore = 300
	expect(t, "beyond those kept", FrostAdded(&before, &after, &l), 1-23.0/32, 0.5, 2*(1-23.0/32), 1e-12)
	before.Cycles = math.NaN()
	if v := FrostAdded(&before, &after, &limits); v.Applies || !v.NotJudged {
		t.Errorf("without data: %+v", v)
	}
}

func TestJudgeHeedsWhatIsAskedFor(t *testing.T) {
	w := coldWall(0.1, 0.1)
	w.Face = wall.Face{Wf: 100, Scrit: 0.8}
	in := &Monthly{Wall: w, Months: constant(0, 488.4, 20, 1168.5), Timber: true, TimberDepth: 0.1, MasonryWf: 100, Limits: &limits}
	var ws Workspace
	for id := range Count {
		in.Which = Set(0).With(id)
		r, _ := in.Judge(&ws)
		for other := range Count {
			if r[other].Applies != (other == id && id.In(Steady).Demand != "") {
				t.Errorf("asked for %s, %s applies: %v", id.Info().Name, other.Info().Name, r[other].Applies)
			}
		}
	}
	if _, any := new(Result).Governing(); any {
		t.Error("something governs where nothing applies")
	}
	r := Result{SurfaceMould: {Utilisation: 0.4, Applies: true}, Frost: {Utilisation: 0.9, Applies: true}, WetFront: {Utilisation: 5}}
	if id, ok := r.Governing(); !ok || id != Frost {
		t.Errorf("governing: %v", id)
	}
}

func TestEveryIndicatorIsDescribed(t *testing.T) {
	seen := map[string]bool{}
	for id := range Count {
		i := id.Info()
		measured := 0
		for _, tier := range []Tier{Steady, Transient} {
			d := id.In(tier)
			if d.Demand == "" {
				continue
			}
			measured++
			for _, s := range []string{d.Name, d.Label, d.Limit, d.Unit, d.Formula, d.Source} {
				if s == "" {
					t.Errorf("indicator %d in tier %v: %+v", id, tier, d)
				}
			}
		}
		if measured == 0 {
			t.Errorf("no tier measures indicator %d", id)
		}
		if back, ok := Lookup(i.Name); !ok || back != id || seen[i.Name] {
			t.Errorf("%s is not found by its name", i.Name)
		}
		seen[i.Name] = true
	}
	if _, ok := Lookup("mold"); ok {
		t.Error("an unknown name is found")
	}
}
