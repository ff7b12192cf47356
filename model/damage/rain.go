package damage

import "math"

// RainFront follows how deep masonry is wet: the deepest place whose degree of
// filling, water over free saturation, is at or above Threshold. It looks at
// the whole thickness, since a face dries before the water behind it: wet
// masonry at the inner face counts as well, whatever wetted it. Sharp wet front
// of capillary uptake; threshold common practice, no source.
type RainFront struct {
	Thickness float64 // m of masonry from its outer face, above 0
	Threshold float64 // 0–1, above 0

	watch   watch
	deepest float64
	at      int
}

// Hour takes the state of the masonry at one moment: centres of its cells (m
// from its outer face, rising) and their filling, of equal length. Cells beyond
// Thickness are passed over. It may be called for every hour or for some of
// them, such as one a day. The slices are only read.
func (r *RainFront) Hour(hour int, depths, fills []float64) {
	if !r.watch.take(hour, profile(depths, fills, r.Thickness)) {
		return
	}
	if d := r.depth(depths, fills); d > r.deepest {
		r.deepest, r.at = d, hour
	}
}

// depth returns the depth (m) that is wet in one profile: in a straight line
// between the last wet centre and the next one, the whole thickness when the
// last cell is wet, 0 when none is.
func (r *RainFront) depth(depths, fills []float64) float64 {
	n := 0
	for n < len(depths) && depths[n] <= r.Thickness {
		n++
	}
	i := n - 1
	for i >= 0 && fills[i] < r.Threshold {
		i--
	}
	switch {
	case i < 0:
		return 0
	case i == n-1:
		return r.Thickness
	}
	return depths[i] + (depths[i+1]-depths[i])*(fills[i]-r.Threshold)/(fills[i]-fills[i+1])
}

// Finding compares the deepest wet place with a share (0–1) of the thickness.
func (r *RainFront) Finding(share float64) Finding {
	usable := r.Thickness > 0 && finite(r.Thickness) && r.Threshold > 0 && finite(r.Threshold)
	hour := r.at
	if r.deepest == 0 {
		hour = -1
	}
	limit := share * r.Thickness
	if !usable {
		limit = math.NaN()
	}
	return r.watch.find(r.deepest, limit, hour, usable)
}

// profile says whether at least one cell lies in the masonry and all are usable.
func profile(depths, fills []float64, thickness float64) bool {
	if len(depths) == 0 || len(depths) != len(fills) || !(depths[0] <= thickness) {
		return false
	}
	for i := range depths {
		if !amount(depths[i]) || !amount(fills[i]) || i > 0 && depths[i] <= depths[i-1] {
			return false
		}
	}
	return true
}
