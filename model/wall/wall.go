// Package wall describes a wall as layers from outside to inside, and gives
// its thermal resistance. It refuses to know about strategies, inventories or
// weather.
package wall

import "wallsift/model/material"

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
