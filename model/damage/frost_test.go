package damage

import "testing"

// Porosity 0.2: 170 kg/m³ is S = 0.85. Counted by hand.
func TestFrostCyclesByHand(t *testing.T) {
	for _, c := range []struct {
		name           string
		theta, water   []float64
		frosts, cycles float64
		s              float64
		hour           int
	}{
		{"never below", []float64{5, 0, -1, 3}, []float64{180, 180, 180, 180}, 0, 0, 0, -1},
		{"once", []float64{5, -2, -3, 2}, []float64{180, 180, 180, 180}, 1, 1, 0.9, 1},
		{"twice", []float64{-2, 1, -2, 1}, []float64{180, 180, 190, 180}, 2, 2, 0.95, 2},
		{"no thaw between", []float64{-2, -0.5, -2, -0.1, -3}, []float64{180, 180, 180, 180, 180}, 1, 1, 0.9, 0},
		{"thaws at 0", []float64{-2, 0, -2}, []float64{180, 180, 180}, 2, 2, 0.9, 0},
		{"dry", []float64{-2, 1, -2, 1}, []float64{169, 190, 160, 190}, 2, 0, 0.845, 0},
		{"one of two wet", []float64{-2, 1, -2, 1}, []float64{160, 190, 170, 190}, 2, 1, 0.85, 2},
		{"soaked while frozen, counts once", []float64{-2, -2, -2, -2}, []float64{100, 175, 100, 180}, 1, 1, 0.9, 3},
	} {
		f := FreezeThaw{Porosity: 0.2, Critical: 0.85, FreezeAt: FreezeAt, ThawAt: ThawAt}
		for h := range c.theta {
			f.Hour(h, c.theta[h], c.water[h])
		}
		y := f.Year()
		if y.Frosts != c.frosts || y.Cycles != c.cycles || !near(y.Saturation, c.s, 1e-12) || y.Hour != c.hour {
			t.Errorf("%s: %+v", c.name, y)
		}
	}
}

// Two years with three wet frosts in each, one of them over new year: five
// frosts in all, since the one that spans the turn of the year is one.
func TestFrostOverTheTurnOfTheYear(t *testing.T) {
	f := FreezeThaw{Porosity: 0.2, Critical: 0.85, FreezeAt: FreezeAt, ThawAt: ThawAt}
	for range 2 {
		for h := range HoursPerYear {
			theta := 5.0
			if h < 10 || h >= 8750 || h == 1000 {
				theta = -5
			}
			f.Hour(h, theta, 180)
		}
	}
	if y := f.Year(); y.Cycles != 2.5 {
		t.Errorf("%+v", y)
	}
	if g := f.Year().Finding(5); g.Utilisation != 0.5 || g.Demand != 2.5 || g.Limit != 5 {
		t.Errorf("%+v", g)
	}
	if g := f.Year().SaturationFinding(0.75); !near(g.Utilisation, 1.2, 1e-12) {
		t.Errorf("%+v", g)
	}
}

func TestFrostChange(t *testing.T) {
	before := FrostYear{Frosts: 20, Cycles: 4, Saturation: 0.8, Hour: 100}
	after := FrostYear{Frosts: 30, Cycles: 10, Saturation: 0.9, Hour: 200}
	c := Change(before, after)
	if c.Frosts != 10 || c.Cycles != 6 || !near(c.Saturation, 0.1, 1e-12) || c.Finding(12).Utilisation != 0.5 {
		t.Errorf("%+v", c)
	}
	if f := Change(after, before).Finding(12); f.Utilisation != 0 || f.Demand != -6 {
		t.Errorf("fewer cycles: %+v", f)
	}
	bad := FreezeThaw{}
	if f := Change(bad.Year(), after).Finding(12); f.Utilisation != MaxUtilisation {
		t.Errorf("nothing known before: %+v", f)
	}
}
