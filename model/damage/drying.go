package damage

import "math"

// AirLeakWetting is the water (kg/m²a) that air leaks bring into a wall however
// well it is built. Source: DIN 68800-2 (100 g/m²a), from memory.
const AirLeakWetting = 0.1

// Drying is what became of a wetting pulse: the wall is run for a year twice,
// with and without water put in at the start, all else the same.
//
//	dried   = Pulse − Remaining
//	reserve = the dried amount: water a year can carry off beyond what the wall
//	          handles anyway
//
// The reserve cannot come out larger than the pulse, so the pulse must be at
// least the wetting it is to be compared with.
type Drying struct {
	Pulse     float64 // kg/m² put in, above 0
	Remaining float64 // kg/m² stored after the year, more than in the run without the pulse
}

// Reserve returns the drying reserve in kg/m²a, negative where the pulse drew
// more water in; NaN when it cannot be judged.
func (d Drying) Reserve() float64 {
	if !(d.Pulse > 0) || !finite(d.Pulse) || !finite(d.Remaining) {
		return math.NaN()
	}
	return min(d.Pulse, d.Pulse-d.Remaining)
}

// Finding compares the wetting of a year (kg/m²a) with the reserve. A wetting
// above the pulse is beyond what the runs can answer, and gets MaxUtilisation.
func (d Drying) Finding(wetting float64) Finding {
	reserve := d.Reserve()
	f := find(wetting, reserve, -1)
	if wetting > d.Pulse || wetting < 0 {
		f.Utilisation = MaxUtilisation
	}
	return f
}

// Wetting returns the incidental wetting of a year in kg/m²a: air leaks, and the
// share of the driving rain (l/m²a) that gets in by leaks, 0.01 in ASHRAE 160
// (from memory). Every term is 0 or more; else it is NaN.
func Wetting(airLeak, leakShare, drivingRain float64) float64 {
	if !amount(airLeak) || !amount(leakShare) || !amount(drivingRain) {
		return math.NaN()
	}
	return airLeak + leakShare*drivingRain
}
