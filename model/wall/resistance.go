package wall

import "math"

// Resistance returns the sum of the layers' thermal resistances in m²K/W,
// surfaces and bridges left out.
func (w *Wall) Resistance() float64 { return w.ResistanceTo(math.Inf(1)) }

// U returns the thermal transmittance in W/(m²·K) between rse and rsi
// (m²K/W). Bridged layers follow the combined method of ISO 6946:2017 clause
// 6.7.2: the mean of the upper limit (sections side by side) and the lower
// limit (layers mixed one by one). Bridges of different layers are taken as
// crossing each other (independent), as battens across studs do.
func (w *Wall) U(rsi, rse float64) float64 {
	lower := rsi + rse
	for i := range w.Layers[:w.N] {
		l := &w.Layers[i]
		if l.BridgeShare == 0 {
			lower += l.R
			continue
		}
		lower += 1 / ((1-l.BridgeShare)/l.R + l.BridgeShare/l.BridgeR)
	}
	upper := 1 / w.sections(0, 1, rsi+rse)
	return 2 / (upper + lower)
}

// sections sums share/R over every combination of bridged and unbridged
// sections from layer i inward, given the share and resistance gathered so far.
func (w *Wall) sections(i int, share, r float64) float64 {
	for ; i < w.N; i++ {
		l := &w.Layers[i]
		if l.BridgeShare > 0 {
			return w.sections(i+1, share*(1-l.BridgeShare), r+l.R) +
				w.sections(i+1, share*l.BridgeShare, r+l.BridgeR)
		}
		r += l.R
	}
	return share / r
}

// ResistanceTo returns the thermal resistance in m²K/W from the outer surface
// to a depth in m; a depth beyond the wall gives the whole wall.
func (w *Wall) ResistanceTo(depth float64) float64 {
	sum := 0.0
	for i := range w.Layers[:w.N] {
		l := &w.Layers[i]
		if l.Thickness > depth {
			return sum + l.R*depth/l.Thickness
		}
		sum += l.R
		depth -= l.Thickness
	}
	return sum
}
