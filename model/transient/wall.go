package transient

import (
	"fmt"
	"math"
)

// SdPoint is one point of a variable retarder's curve.
type SdPoint struct {
	RH float64 // mean relative humidity of its two faces, 0–1
	Sd float64 // m of still air
}

// Interface is what lies between two layers, or on an outer face: all zero is
// perfect contact.
type Interface struct {
	R              float64   // thermal resistance, m²K/W
	Sd             float64   // vapour resistance as an air layer, m
	Curve          []SdPoint // variable retarder, added to Sd; rising RH
	CapillaryBreak bool      // no liquid crosses; so with any Sd or Curve between layers
}

func (f *Interface) valid() bool {
	for i, p := range f.Curve {
		if !(p.Sd >= 0) || (i > 0 && !(p.RH > f.Curve[i-1].RH)) {
			return false
		}
	}
	return f.R >= 0 && f.Sd >= 0
}

// gap reports whether the layers do not touch: a membrane or a gap lies between.
func (f *Interface) gap() bool { return f.breaks() || f.Sd > 0 }

// leastGap is the vapour resistance of the smallest gap, m of still air: what
// breaks capillarity is not free to vapour either.
const leastGap = 1e-3

// sd returns the interface's s_d and its slope in RH; the curve is constant
// beyond its ends.
func (f *Interface) sd(rh float64) (v, slope float64) {
	v = f.Sd
	if c := f.Curve; len(c) > 0 {
		switch last := len(c) - 1; {
		case rh <= c[0].RH:
			v += c[0].Sd
		case rh >= c[last].RH:
			v += c[last].Sd
		default:
			i := 1
			for rh >= c[i].RH {
				i++
			}
			slope = (c[i].Sd - c[i-1].Sd) / (c[i].RH - c[i-1].RH)
			v += c[i-1].Sd + slope*(rh-c[i-1].RH)
		}
	}
	if v < leastGap && f.gap() {
		return leastGap, 0
	}
	return v, slope
}

func (f *Interface) breaks() bool { return f.CapillaryBreak || len(f.Curve) > 0 }

// Layer is one homogeneous layer. Contact is what lies on its outer side; for
// the first layer that is the coat on the face (its s_d and R act, and
// CapillaryBreak keeps rain out altogether).
type Layer struct {
	Thickness float64 // m, > 0
	Material  *Compiled
	Contact   Interface
	// AirChange ventilates the layer (a cavity) with outdoor air, 1/h.
	AirChange float64
	// Drained lets water above free saturation run out of the layer within
	// about an hour, as in a drained cavity. The amount is accounted.
	Drained bool
}

// Wall is a stack of layers, outside → inside.
type Wall struct {
	Layers []Layer
	Inner  Interface // coat on the inner face
	// RainDepth is where the share RainShare of the driving rain enters behind
	// the face, m from the face (ASHRAE 160 takes 1 %). The rest wets the face.
	RainDepth, RainShare float64
	// SkinDepth is likewise where the share SkinShare passes a water-repellent skin.
	SkinDepth, SkinShare float64
}

func (w *Wall) check() error {
	d := 0.0
	for i := range w.Layers {
		l := &w.Layers[i]
		d += l.Thickness
		if l.Material == nil || !(l.Thickness > 0 && l.Thickness < math.Inf(1) && l.AirChange >= 0) || !l.Contact.valid() {
			return fmt.Errorf("transient: layer %d, %g m with air change %g and contact %+v: needs a material and a thickness > 0 m; "+
				"air change, R and s_d ≥ 0; rising RH in a curve", i+1, l.Thickness, l.AirChange, l.Contact)
		}
	}
	enters := func(share, depth float64) bool { return share >= 0 && depth >= 0 && depth <= d }
	if !(d > 0 && enters(w.RainShare, w.RainDepth) && enters(w.SkinShare, w.SkinDepth) && w.RainShare+w.SkinShare <= 1 && w.Inner.valid()) {
		return fmt.Errorf("transient: wall of %g m with rain shares %g and %g at %g and %g m, inside %+v: needs a layer, "+
			"shares of 0–1 together, depths within it, R and s_d ≥ 0", d, w.RainShare, w.SkinShare, w.RainDepth, w.SkinDepth, w.Inner)
	}
	return nil
}
