package damage

import "math"

// Pore water of building stone freezes a little below 0 °C and has thawed at
// 0 °C: usual values of FreezeThaw.FreezeAt and ThawAt, common practice, no
// source.
const (
	FreezeAt = -1.0
	ThawAt   = 0.0
)

// FreezeThaw counts frosts at one depth. A frost begins below FreezeAt and ends
// from ThawAt on; it is a damaging cycle when at any hour of it the degree of
// saturation S = water/(1000·porosity) is at or above the critical one, and
// counts once. The first hour fed may begin a frost. Source: Fagerlund's
// critical degree of saturation, from memory.
type FreezeThaw struct {
	Porosity float64 // 0–1, above 0
	Critical float64 // 0–1, above 0
	FreezeAt float64 // °C
	ThawAt   float64 // °C, not below FreezeAt

	watch    watch
	frozen   bool
	counted  bool // this frost is
	frosts   int
	cycles   int
	highest  float64
	highAt   int
	anyFrost bool
}

// Hour takes an hour's temperature (°C) and water content (kg/m³, ice included).
func (f *FreezeThaw) Hour(hour int, theta, water float64) {
	if !f.watch.take(hour, celsius(theta) && amount(water)) {
		return
	}
	if f.frozen {
		f.frozen = theta < f.ThawAt
	} else if theta < f.FreezeAt {
		f.frozen, f.counted = true, false
		f.frosts++
	}
	if !f.frozen {
		return
	}
	s := water / (1000 * f.Porosity)
	if !f.anyFrost || s > f.highest {
		f.highest, f.highAt, f.anyFrost = s, hour, true
	}
	if s >= f.Critical && !f.counted {
		f.cycles++
		f.counted = true
	}
}

// FrostYear sums up what a depth went through.
type FrostYear struct {
	Frosts     float64 // frosts a year, wet or dry
	Cycles     float64 // damaging cycles a year; NaN when it cannot be judged
	Saturation float64 // highest degree of saturation while frozen, 0 without frost
	Hour       int     // when that was, -1 without frost
}

// Year returns the yearly means of the counts. Less than a year counts as one.
func (f *FreezeThaw) Year() FrostYear {
	if !f.watch.judged(f.usable()) {
		return FrostYear{Frosts: math.NaN(), Cycles: math.NaN(), Saturation: math.NaN(), Hour: f.watch.brokenAt()}
	}
	y := FrostYear{Frosts: f.watch.perYear(f.frosts), Cycles: f.watch.perYear(f.cycles), Hour: -1}
	if f.anyFrost {
		y.Saturation, y.Hour = f.highest, f.highAt
	}
	return y
}

func (f *FreezeThaw) usable() bool {
	return f.Porosity > 0 && f.Porosity <= 1 && f.Critical > 0 && finite(f.Critical) &&
		celsius(f.FreezeAt) && celsius(f.ThawAt) && f.ThawAt >= f.FreezeAt
}

// Finding compares the damaging cycles of a year with a limit.
func (y FrostYear) Finding(limit float64) Finding { return find(y.Cycles, limit, y.Hour) }

// SaturationFinding compares the highest degree of saturation while frozen with
// the critical one: how near the depth came, before any cycle counts.
func (y FrostYear) SaturationFinding(critical float64) Finding {
	return find(y.Saturation, critical, y.Hour)
}

// Change is what a measure does to the frost at a depth: the year after less
// the year before. Finding then compares the cycles that the measure adds with
// a limit. NaN in either stays NaN.
func Change(before, after FrostYear) FrostYear {
	return FrostYear{
		Frosts:     after.Frosts - before.Frosts,
		Cycles:     after.Cycles - before.Cycles,
		Saturation: after.Saturation - before.Saturation,
		Hour:       after.Hour,
	}
}
