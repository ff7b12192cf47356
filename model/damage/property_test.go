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

func bounded(t *rapid.T, what string, f Finding, hours int) {
	if !(f.Utilisation >= 0 && f.Utilisation <= MaxUtilisation) || f.Hour < -1 || f.Hour >= hours {
		t.Fatalf("%s: %+v of %d hours", what, f, hours)
	}
}

// More humidity in every hour never lowers timber humidity, timber moisture,
// activation or loss of mass, wet hours or peaks; more water never lowers frost
// cycles. (No such rule holds for mould over dry spells:
// TestShortWettingCanLowerTheIndex.)
func TestMoreHumidityIsNeverBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		theta, rh := climate(t)
		more := rapid.SliceOfN(rapid.Float64Range(0, 0.05), 7, 7).Draw(t, "more")
		var hum, mois, decay, active, wet, daily, cycles, sat [2]Finding
		for k := range 2 {
			h := TimberHumidity{RH0: 0.95, RH30: 0.86}
			m := TimberMoisture{Lag: TimberLag}
			var d TimberDecay
			a := Accumulation{WetRH: 0.99}
			f := FreezeThaw{Porosity: 0.2, Critical: 0.85, FreezeAt: -1}
			for i := range theta {
				x := rh[i] + float64(k)*more[i%7]
				h.Hour(i, theta[i], x)
				m.Hour(i, theta[i], x)
				d.Hour(i, theta[i], x)
				a.Hour(i, x, x)
				f.Hour(i, theta[i], 180*x)
			}
			hum[k], mois[k], decay[k], active[k] = h.Finding(), m.Finding(0.2), d.Finding(0.01), d.Activation(1)
			wet[k], daily[k] = a.WetHours(10), a.DailyRH(0.95)
			cycles[k], sat[k] = f.Year().Finding(3), f.Year().SaturationFinding(0.85)
		}
		for what, f := range map[string][2]Finding{"humidity": hum, "moisture": mois, "decay": decay, "activation": active, "wet hours": wet, "daily": daily, "cycles": cycles, "saturation": sat} {
			bounded(t, what, f[0], len(theta))
			bounded(t, what, f[1], len(theta))
			if f[1].Utilisation < f[0].Utilisation-1e-12 {
				t.Fatalf("%s: %+v, wetter %+v", what, f[0], f[1])
			}
		}
	})
}

// While mould can grow all along, more humidity, a faster class or an hour more
// never lower the index, and it stays below the largest one.
func TestMouldGrowthIsMonotone(t *testing.T) {
	classes := []MouldClass{Resistant, MediumResistant, Sensitive, VerySensitive}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "spells")
		long := rapid.IntRange(1, 200).Draw(t, "hours each")
		var drier, wetter [4]Mould
		for i, c := range classes {
			drier[i], wetter[i] = Mould{Class: c, Decline: 1}, Mould{Class: c, Decline: 1}
		}
		for range n {
			theta := rapid.Float64Range(1, 50).Draw(t, "theta")
			least := max(Resistant.CriticalRH(theta), VerySensitive.CriticalRH(theta))
			x := rapid.Float64Range(least, 1).Draw(t, "rh")
			y := rapid.Float64Range(x, 1).Draw(t, "wetter")
			for range long {
				for i := range classes {
					before := drier[i].Index()
					drier[i].Hour(0, theta, x)
					wetter[i].Hour(0, theta, y)
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
		fast := Mould{Class: VerySensitive, Decline: DeclineStrong}
		slow := Mould{Class: VerySensitive, Decline: DeclineAlmostNone}
		for i := range theta {
			fast.Hour(i, theta[i], rh[i])
			slow.Hour(i, theta[i], rh[i])
			if !(fast.Index() >= 0 && slow.Index() <= 6) || fast.Index() > slow.Index()+1e-12 {
				t.Fatalf("hour %d: %v and %v", i, fast.Index(), slow.Index())
			}
		}
		bounded(t, "mould", fast.Finding(3), len(theta))
	})
}

// Turning round the hours within each day, or the order of days, changes no
// daily mean, peak, or count of hours. A lagged moisture content and the mould
// index do heed order.
func TestOrderMattersOnlyWhereItShould(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		theta, rh := climate(t)
		n := len(theta)
		var hum, daily, wet, peak, deep [2]Finding
		for k := range 2 {
			h := TimberHumidity{RH0: 0.95, RH30: 0.86}
			a := Accumulation{WetRH: 0.9}
			r := RainFront{Thickness: 0.3, Threshold: 0.8}
			for i := range n {
				j := i
				if k == 1 {
					j = n - 1 - i
				}
				h.Hour(i, theta[j], rh[j])
				a.Hour(i, rh[j], rh[j])
				r.Hour(i, []float64{0.1, 0.2}, []float64{rh[j], rh[j] / 2})
			}
			hum[k], daily[k], wet[k], peak[k], deep[k] = h.Finding(), a.DailyRH(0.9), a.WetHours(5), a.Peak(0.5), r.Finding(0.5)
		}
		for what, f := range map[string][2]Finding{"humidity": hum, "daily": daily, "wet hours": wet, "peak": peak, "front": deep} {
			if !near(f[0].Utilisation, f[1].Utilisation, 1e-9) {
				t.Fatalf("%s: %+v, turned round %+v", what, f[0], f[1])
			}
		}
	})
	var early, late Mould
	early.Class, late.Class, early.Decline, late.Decline = VerySensitive, VerySensitive, 1, 1
	a, b := TimberMoisture{Lag: TimberLag}, TimberMoisture{Lag: TimberLag}
	for h := range 1000 {
		x, y := 0.97, 0.5
		if h >= 500 {
			x, y = y, x
		}
		early.Hour(h, 20, x)
		late.Hour(h, 20, y)
		a.Hour(h, 20, x)
		b.Hour(h, 20, y)
	}
	if !(early.Index() < late.Index()) || !(a.Moisture() < b.Moisture()) {
		t.Error("order does not matter to mould or to lagged moisture")
	}
}

// Years of mould in a climate that is damp for a quarter of it: growth and
// decline settle, or the count of years ends.
func TestRepeatUntilSettled(t *testing.T) {
	m := Mould{Class: Sensitive, Decline: DeclineStrong}
	calls := 0
	years, settled := Repeat(20, 1e-3, func() {
		calls++
		for h := range HoursPerYear {
			rh := 0.6
			if h < HoursPerYear/4 {
				rh = 0.95
			}
			m.Hour(h, 15, rh)
		}
	}, m.Index)
	if !settled || years != calls || years > 3 {
		t.Errorf("%d years, settled %v", years, settled)
	}
	// A pulse of growth each year that hardly declines does not settle in three.
	m = Mould{Class: MediumResistant, Decline: 0}
	if years, settled = Repeat(3, 1e-3, func() {
		for h := range HoursPerYear {
			m.Hour(h, 15, 0.6+0.35*float64(h%10/9))
		}
	}, m.Index); settled || years != 3 {
		t.Errorf("%d years, settled %v", years, settled)
	}
	if years, settled = Repeat(3, 1, func() {}, func() float64 { return math.NaN() }); settled || years != 3 {
		t.Error("what is not a number settles")
	}
}
