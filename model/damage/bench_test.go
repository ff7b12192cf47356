package damage

import (
	"math"
	"testing"
)

// feeder holds every accumulator and the slices a caller would reuse.
type feeder struct {
	m      Mould
	h      TimberHumidity
	u      TimberMoisture
	d      TimberDecay
	f      FreezeThaw
	a      Highest
	r      RainFront
	dry    DryingReserve
	places [60]Place
}

func newFeeder() *feeder {
	x := &feeder{m: Mould{Class: Sensitive, Decline: 0.25}, h: TimberHumidity{}, u: TimberMoisture{},
		f: FreezeThaw{Critical: 0.85}, r: RainFront{Filling: 0.9}}
	for i := range x.places {
		x.places[i] = Place{Depth: 0.5 * (float64(i) + 0.5) / 60, Filling: 0.5, RH: 0.9}
	}
	return x
}

func (x *feeder) take(hour, n int, theta, rh float64) {
	x.m.Hours(hour, n, theta, rh)
	x.h.Hours(hour, n, theta, rh)
	x.u.Hours(hour, n, theta, rh)
	x.d.Hours(hour, n, theta, rh)
	x.f.Hours(hour, n, theta, rh)
	x.a.Hour(hour, rh)
	x.dry.Hours(hour, n, theta, rh, 1, 1)
	x.r.Hours(hour, n, true, x.places[:])
}

func (x *feeder) year() {
	for h := range HoursPerYear {
		s := math.Sin(2 * math.Pi * float64(h) / HoursPerYear)
		theta, rh := 10-10*s, 0.9+0.1*s
		x.take(h, 1, theta, rh)
	}
}

func TestNothingIsAllocated(t *testing.T) {
	x := newFeeder()
	x.year() // the front makes room for its places once
	if n := testing.AllocsPerRun(1, func() {
		x.year()
		_, _, _, _ = x.m.Peak(), timberLine.Worst(x.h.Days()), x.u.Peak(), x.d.Activation()
		_, _, _ = x.f.Year(), x.a.Peak(), x.r.Peak()
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
