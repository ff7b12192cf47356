// Package wall describes a wall as layers from outside to inside, and gives
// its thermal resistance. It refuses to know about strategies, inventories or
// weather.
package wall

import (
	"math"

	"wallsift/model/material"
)

// MaxLayers bounds the layers of a wall, so that walls live on the stack.
const MaxLayers = 20

// Role says what a layer does for the judgement of a wall.
type Role uint8

// Roles.
const (
	Plain   Role = iota
	Masonry      // the old wall: exactly one layer has this role
	Sized        // the insulation whose thickness the strategy varies
)

// Layer is one layer with its numbers settled.
type Layer struct {
	Material    *material.Material
	Thickness   float64            // m, 0 for membranes and coats
	Lambda      float64            // W/(m·K), 0 where R is given
	R           float64            // m²K/W
	Sd          float64            // m, dry value for variable retarders
	Curve       []material.SdPoint // empty unless the layer is a variable retarder
	BridgeR     float64            // m²K/W of the bridging material, 0 when unbridged
	BridgeShare float64            // 0–1 of the area
	Role        Role
	AirChange   float64 // 1/h with outdoor air, of a vented cavity
	Drained     bool    // water runs out of it, as from a drained cavity
}

// Face is what driving rain meets.
type Face struct {
	Aw    float64 // kg/(m²·√s)
	Sd    float64 // m, of the finish or coat on the face; 0 when bare
	Wf    float64 // kg/m³, free saturation of the material that takes the rain
	W80   float64 // kg/m³, at 80 % relative humidity
	Scrit float64 // critical filling w/w_f for frost, 0 without data, above 1 out of reach
}

// Wall is a wall, layers from outside to inside.
type Wall struct {
	N       int
	Layers  [MaxLayers]Layer
	Masonry int // index of the masonry layer
	Face    Face
}

// Add appends a layer on the inner side and returns its index, or -1 when the
// wall already has MaxLayers.
func (w *Wall) Add(l Layer) int {
	if w.N == MaxLayers {
		return -1
	}
	if l.Role == Masonry {
		w.Masonry = w.N
	}
	w.Layers[w.N] = l
	w.N++
	return w.N - 1
}

// NewLayer settles a layer of thickness d (m) from a material with thermal
// conductivity lambda (W/(m·K)); r > 0 (m²K/W) replaces d/lambda for air gaps.
func NewLayer(m *material.Material, d, lambda, r float64, role Role) Layer {
	l := Layer{Material: m, Thickness: d, Lambda: lambda, R: r, Sd: m.SdLayer(d), Curve: m.SdCurve, Role: role}
	if r == 0 && lambda > 0 {
		l.R = d / lambda
	}
	return l
}

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
