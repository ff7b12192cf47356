package damage

import (
	"math"
	"testing"
)

// feeder holds every accumulator and the slices a caller would reuse.
type feeder struct {
	m             Mould
	h             TimberHumidity
	u             TimberMoisture
	d             TimberDecay
	f             FreezeThaw
	a             Accumulation
	r             RainFront
	depths, fills [60]float64
}

func newFeeder() *feeder {
	x := &feeder{m: Mould{Class: Sensitive, Decline: 0.25}, h: TimberHumidity{RH0: 0.95, RH30: 0.86}, u: TimberMoisture{Lag: TimberLag},
		f: FreezeThaw{Porosity: 0.2, Critical: 0.85, FreezeAt: -1}, a: Accumulation{WetRH: 0.99}, r: RainFront{Thickness: 0.5, Threshold: 0.9}}
	for i := range x.depths {
		x.depths[i], x.fills[i] = 0.5*(float64(i)+0.5)/60, 0.5
	}
	return x
}

func (x *feeder) year() {
	for h := range HoursPerYear {
		s := math.Sin(2 * math.Pi * float64(h) / HoursPerYear)
		theta, rh := 10-10*s, 0.9+0.1*s
		x.m.Hour(h, theta, rh)
		x.h.Hour(h, theta, rh)
		x.u.Hour(h, theta, rh)
		x.d.Hour(h, theta, rh)
		x.f.Hour(h, theta, 180*rh)
		x.a.Hour(h, rh, rh)
		x.r.Hour(h, x.depths[:], x.fills[:])
	}
}

func TestNothingIsAllocated(t *testing.T) {
	x := newFeeder()
	if n := testing.AllocsPerRun(1, func() {
		x.year()
		_, _, _, _ = x.m.Finding(3), x.h.Finding(), x.u.Finding(0.2), x.d.Finding(0.01)
		_, _, _ = x.f.Year().Finding(5), x.a.Peak(1), x.r.Finding(0.67)
	}); n != 0 {
		t.Errorf("%v allocations a year", n)
	}
}

// BenchmarkYear feeds all accumulators one year each.
func BenchmarkYear(b *testing.B) {
	x := newFeeder()
	b.ReportAllocs()
	for b.Loop() {
		x.year()
	}
}
