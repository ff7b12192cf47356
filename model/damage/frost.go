package damage

import "math"

// Pore water of building stone freezes a little below 0 °C and has thawed at
// 0 °C: common practice, no source.
const (
	FreezeAt = -1.0
	ThawAt   = 0.0
)

// FreezeThaw counts frosts at one depth, and keeps how full of water the pores are
// in the fullest of them. A frost begins below FreezeAt and ends from ThawAt on; it
// is a damaging cycle, counted once, when at any hour of it the filling w/w_f is at
// or above the critical one. The first hour fed may begin a frost.
//
// Fagerlund's critical degree of saturation is measured against all open pores,
// which a wall in the rain hardly ever fills: capillary uptake ends at w_f. So both
// sides are put on the scale of capillary saturation, where 1 is w_f and a critical
// filling above 1 is a stone that resists frost however long it rains. Source:
// Fagerlund 1977, Materials and Structures 10, 58; from memory.
type FreezeThaw struct {
	Critical float64 // critical filling, above 0; 0 when there is no data

	watch   watch
	frozen  bool
	now     FrostPeak // of this frost
	frosts  int
	cycles  int
	fullest [FullestFrosts]FrostPeak
}

// FullestFrosts is how many frosts of a year are kept by how full they are.
const FullestFrosts = 24

// FrostPeak is the fullest hour of one frost.
type FrostPeak struct {
	Filling float32 // w/w_f, ice included
	Hour    int16   // as it was fed, within the year
}

// Hours takes n hours of one temperature (°C) and filling (0 or more, ice included).
func (f *FreezeThaw) Hours(hour, n int, theta, filling float64) {
	if !f.watch.take(hour, n, celsius(theta) && amount(filling)) {
		return
	}
	peak := FrostPeak{float32(filling), int16(hour % HoursPerYear)}
	switch {
	case f.frozen && theta >= ThawAt:
		f.end()
	case !f.frozen && theta < FreezeAt:
		f.frozen, f.now = true, peak
		f.frosts++
	case f.frozen && peak.Filling > f.now.Filling:
		f.now = peak
	}
}

// end counts the frost that has thawed and puts it in its place, fullest first.
func (f *FreezeThaw) end() {
	f.frozen = false
	if float64(f.now.Filling) >= f.Critical {
		f.cycles++
	}
	for i := range f.fullest {
		if p := &f.fullest[i]; f.now.Filling > p.Filling {
			*p, f.now = f.now, *p
		}
	}
}

// FrostYear sums up what a depth went through.
type FrostYear struct {
	Critical float64                  // filling from which a frost does damage, 0 without data
	Frosts   float64                  // frosts a year, wet or dry
	Cycles   float64                  // damaging cycles a year; NaN without a critical filling
	Fullest  [FullestFrosts]FrostPeak // by falling filling; Hour is -1 where there were fewer
}

// Year returns the yearly means of the counts. Less than a year counts as one.
func (f *FreezeThaw) Year() FrostYear {
	if !f.watch.judged(true) {
		y := FrostYear{Frosts: math.NaN(), Cycles: math.NaN()}
		y.Fullest[0] = FrostPeak{float32(math.NaN()), int16((f.watch.bad - 1) % HoursPerYear)}
		return y
	}
	if f.frozen {
		f.end()
	}
	y := FrostYear{Critical: f.Critical, Frosts: float64(f.frosts) / f.watch.years(), Cycles: float64(f.cycles) / f.watch.years(), Fullest: f.fullest}
	for i := f.frosts; i < len(y.Fullest); i++ {
		y.Fullest[i].Hour = -1
	}
	if !(f.Critical > 0 && finite(f.Critical)) {
		y.Critical, y.Cycles = 0, math.NaN()
	}
	return y
}
