package damage

// RainFront follows how deep rain wets the masonry: the deepest place that holds
// liquid water which came from the outer face. Wet is a place filled to at least
// Filling of its free saturation at a pore humidity of at least HygroscopicRH,
// beyond what damp air can give; dense stone is half full from damp air alone. A
// wet place counts from the hour in which it is reached from outside: where rain
// gets in while it rains, others while the next place outward counts. It counts until it
// is dry, since a face dries before the water behind it. So condensate and sorbed
// water by themselves never count.
//
// Sharp wet front of capillary uptake; the two bounds are common practice, no
// source.
type RainFront struct {
	Filling float64 // 0–1, above 0

	watch   watch
	reached []bool
}

// HygroscopicRH is the relative humidity up to which pores fill from damp air;
// above it they hold capillary water. Common practice (0.95 to 0.99), no source.
const HygroscopicRH = 0.99

// Place is the wall at one depth.
type Place struct {
	Depth   float64 // m from the outer face of the wall to the middle of the place
	Filling float64 // w/w_f, ice included
	RH      float64 // 0–1, above 1 where pores are overfilled; asked for where Filling is reached
	Rain    bool    // driving rain gets in here: the face, or where it passes behind
}

// Hours takes the wall at the end of n hours, from its outer face inward, always the
// same depths. raining says that rain meets the face. The slice is only read.
func (r *RainFront) Hours(hour, n int, raining bool, places []Place) {
	if len(r.reached) != len(places) {
		r.reached = make([]bool, len(places))
	}
	if !r.watch.take(hour, n, usable(places)) {
		return
	}
	deepest := -1
	for i := range places {
		p := &places[i]
		switch {
		case p.Filling < r.Filling || p.RH < HygroscopicRH:
			r.reached[i] = false
		case raining && p.Rain || i > 0 && r.reached[i-1]:
			r.reached[i] = true
		}
		if r.reached[i] {
			deepest = i
		}
	}
	if deepest >= 0 {
		r.watch.rise(r.edge(deepest, places), hour, false)
	}
}

// edge returns the depth at which the filling falls to the bound, in a straight
// line from the last place reached to the next one.
func (r *RainFront) edge(i int, places []Place) float64 {
	if i == len(places)-1 {
		if i == 0 {
			return 2 * places[0].Depth
		}
		return places[i].Depth + (places[i].Depth-places[i-1].Depth)/2
	}
	a, b := &places[i], &places[i+1]
	share := 0.5
	if b.Filling < r.Filling {
		share = (a.Filling - r.Filling) / (a.Filling - b.Filling)
	}
	return a.Depth + share*(b.Depth-a.Depth)
}

// Forget lets the deepest place start anew; what is wet from rain stays so.
func (r *RainFront) Forget() { r.watch.top, r.watch.risen = Peak{}, false }

// Peak returns the deepest wet place, m.
func (r *RainFront) Peak() Peak { return r.watch.peak(r.Filling > 0 && finite(r.Filling)) }

func usable(places []Place) bool {
	for i := range places {
		p := &places[i]
		if !amount(p.Depth) || !amount(p.Filling) || !amount(p.RH) || i > 0 && p.Depth <= places[i-1].Depth {
			return false
		}
	}
	return len(places) > 0
}
