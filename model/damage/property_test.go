package damage

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// climate draws hours of a place: days with a swing, in runs.
func climate(t *rapid.T) (theta, rh []float64) {
	days := rapid.IntRange(1, 25).Draw(t, "days")
	repeat := rapid.IntRange(1, 8).Draw(t, "repeat")
	for range days {
		mean := rapid.Float64Range(-10, 35).Draw(t, "mean")
		swing := rapid.Float64Range(0, 8).Draw(t, "swing")
		base := rapid.Float64Range(0.6, 1).Draw(t, "rh")
		spread := rapid.Float64Range(0, 0.1).Draw(t, "spread")
		for h := range 24 * repeat {
			s := math.Sin(2 * math.Pi * float64(h) / 24)
			theta = append(theta, mean+swing*s)
			rh = append(rh, min(max(base-spread*s, 0), 1.001))
		}
	}
	return theta, rh
}

// More humidity in every hour never lowers timber humidity, timber moisture or
// activation, and never raises the drying reserve; more water never lowers frost
// cycles. (No such rule holds for mould over dry spells:
// TestShortWettingCanLowerTheIndex.)
func TestMoreHumidityIsNeverBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		theta, rh := climate(t)
		more := rapid.SliceOfN(rapid.Float64Range(0, 0.05), 7, 7).Draw(t, "more")
		got := map[string]*[2]float64{"humidity": {}, "moisture": {}, "activation": {}, "loss": {}, "cycles": {}, "filling": {}, "reserve used": {}}
		for k := range 2 {
			h := TimberHumidity{}
			m := TimberMoisture{}
			var d TimberDecay
			var r DryingReserve
			f := FreezeThaw{Critical: 0.85}
			for i := range theta {
				x := rh[i] + float64(k)*more[i%7]
				h.Hours(i, 1, theta[i], x)
				m.Hours(i, 1, theta[i], x)
				d.Hours(i, 1, theta[i], x)
				f.Hours(i, 1, theta[i], 0.9*x)
				r.Hours(i, 1, theta[i], x, 1, 2)
			}
			w, y := timberLine.Worst(h.Days()), f.Year()
			got["humidity"][k] = w.RH / timberLine.At(w.Theta)
			got["moisture"][k], got["activation"][k], got["loss"][k] = m.Peak().Value, d.Activation().Value, d.MassLoss()
			got["cycles"][k], got["filling"][k], got["reserve used"][k] = y.Cycles, float64(y.Fullest[0].Filling), -r.Reserve().Value
		}
		for what, v := range got {
			if !(v[1] >= v[0]-1e-12) {
				t.Fatalf("%s: %v, wetter %v", what, v[0], v[1])
			}
		}
	})
}

// While mould can grow all along, more humidity, a faster class or an hour more
// never lower the index, and it stays below the largest one.
func TestMouldGrowthIsMonotone(t *testing.T) {
	classes := []MouldClass{resistant, MediumResistant, Sensitive, verySensitive}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "spells")
		long := rapid.IntRange(1, 200).Draw(t, "hours each")
		var drier, wetter [4]Mould
		for i, c := range classes {
			drier[i], wetter[i] = Mould{Class: c, Decline: 1}, Mould{Class: c, Decline: 1}
		}
		for range n {
			theta := rapid.Float64Range(1, 50).Draw(t, "theta")
			least := max(resistant.CriticalRH(theta), verySensitive.CriticalRH(theta))
			x := rapid.Float64Range(least, 1).Draw(t, "rh")
			y := rapid.Float64Range(x, 1).Draw(t, "wetter")
			for range long {
				for i := range classes {
					before := drier[i].Index()
					drier[i].Hours(0, 1, theta, x)
					wetter[i].Hours(0, 1, theta, y)
					if drier[i].Index() < before {
						t.Fatal("the index fell while mould could grow")
					}
				}
			}
		}
		for i := range classes {
			top := classes[i].A + classes[i].B - classes[i].C
			if wetter[i].Index() < drier[i].Index()-1e-12 || wetter[i].Index() > top+1e-12 {
				t.Fatalf("class %d: %v, wetter %v, top %v", i, drier[i].Index(), wetter[i].Index(), top)
			}
			if i > 0 && drier[i].Index() < drier[i-1].Index()-1e-12 {
				t.Fatalf("class %d: %v, slower class %v", i, drier[i].Index(), drier[i-1].Index())
			}
		}
	})
}

// Over any climate the index stays in its scale, and a stronger decline factor
// never raises it.
func TestMouldBoundsOverAnyClimate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		theta, rh := climate(t)
		fast := Mould{Class: verySensitive, Decline: 1}
		slow := Mould{Class: verySensitive, Decline: DeclineLow}
		for i := range theta {
			fast.Hours(i, 1, theta[i], rh[i])
			slow.Hours(i, 1, theta[i], rh[i])
			if !(fast.Index() >= 0 && slow.Index() <= 6) || fast.Index() > slow.Index()+1e-12 {
				t.Fatalf("hour %d: %v and %v", i, fast.Index(), slow.Index())
			}
		}
	})
}

// A lagged moisture content and the mould index heed the order of hours.
func TestOrderMattersToMouldAndMoisture(t *testing.T) {
	var early, late Mould
	early.Class, late.Class, early.Decline, late.Decline = verySensitive, verySensitive, 1, 1
	a, b := TimberMoisture{}, TimberMoisture{}
	for h := range 1000 {
		x, y := 0.97, 0.5
		if h >= 500 {
			x, y = y, x
		}
		early.Hours(h, 1, 20, x)
		late.Hours(h, 1, 20, y)
		a.Hours(h, 1, 20, x)
		b.Hours(h, 1, 20, y)
	}
	if !(early.Index() < late.Index()) || !(a.u < b.u) {
		t.Error("order does not matter to mould or to lagged moisture")
	}
}
