package damage

import "math"

// Pore water of building stone freezes a little below 0 °C and has thawed at
// 0 °C: common practice, no source.
const (
	FreezeAt = -1.0
	ThawAt   = 0.0
)

// FreezeThaw counts frosts at one depth. A frost begins below FreezeAt and ends
// from ThawAt on; it is a damaging cycle, counted once, when at any hour of it the
// filling w/w_f is at or above the critical one. The first hour fed may begin a
// frost.
//
// Fagerlund's critical degree of saturation is measured against all open pores,
// which a wall in the rain hardly ever fills: capillary uptake ends at w_f. So both
// sides are put on the scale of capillary saturation, where 1 is w_f and a critical
// filling above 1 is a stone that resists frost however long it rains. Source:
// Fagerlund 1977, Materials and Structures 10, 58; from memory.
type FreezeThaw struct {
	Critical float64 // critical filling, above 0; 0 when there is no data

	watch    watch
	frozen   bool
	counted  bool // this frost is
	frosts   int
	cycles   int
	highest  float64
	highAt   int
	anyFrost bool
}

// Hour takes an hour's temperature (°C) and filling (0 or more, ice included).
func (f *FreezeThaw) Hour(hour int, theta, filling float64) {
	if !f.watch.take(hour, celsius(theta) && amount(filling)) {
		return
	}
	if f.frozen {
		f.frozen = theta < ThawAt
	} else if theta < FreezeAt {
		f.frozen, f.counted = true, false
		f.frosts++
	}
	if !f.frozen {
		return
	}
	if !f.anyFrost || filling > f.highest {
		f.highest, f.highAt, f.anyFrost = filling, hour, true
	}
	if filling >= f.Critical && !f.counted {
		f.cycles++
		f.counted = true
	}
}

// FrostYear sums up what a depth went through.
type FrostYear struct {
	Frosts  float64 // frosts a year, wet or dry
	Cycles  float64 // damaging cycles a year; NaN without a critical filling
	Filling float64 // highest filling while frozen, 0 without frost
	Hour    int     // when that was, -1 without frost
}

// Year returns the yearly means of the counts. Less than a year counts as one.
func (f *FreezeThaw) Year() FrostYear {
	if !f.watch.judged(true) {
		return FrostYear{Frosts: math.NaN(), Cycles: math.NaN(), Filling: math.NaN(), Hour: f.watch.brokenAt()}
	}
	y := FrostYear{Frosts: f.watch.perYear(f.frosts), Cycles: f.watch.perYear(f.cycles), Hour: -1}
	if f.anyFrost {
		y.Filling, y.Hour = f.highest, f.highAt
	}
	if !(f.Critical > 0 && finite(f.Critical)) {
		y.Cycles = math.NaN()
	}
	return y
}
