package wall_test

import (
	"math"
	"testing"

	"wallsift/model/material"
	"wallsift/model/wall"
)

func layer(d, lambda float64) wall.Layer {
	return wall.NewLayer(&material.Material{MuDry: 1, MuWet: 1}, d, lambda, 0, wall.Plain)
}

// Solid masonry and one plaster by the formula of ISO 6946:2017, 6.7.1, worked
// by hand: 0.04 + 0.50/0.77 + 0.015/0.70 + 0.13 = 0.84078 m²K/W.
func TestUHomogeneousLayers(t *testing.T) {
	var w wall.Wall
	w.Add(layer(0.50, 0.77))
	w.Add(layer(0.015, 0.70))
	const want = 1 / 0.84078
	if got := w.U(0.13, 0.04); math.Abs(got-want) > 1e-4 {
		t.Errorf("U = %.5f W/m²K, by hand %.5f", got, want)
	}
}

// One bridged layer by the combined method of ISO 6946:2017, 6.7.2, worked by
// hand: masonry 0.3/1.0 = 0.3; studs (λ 0.13, 15 %) in wool (λ 0.04), 0.1 m:
// R 2.5 and 0.76923; board 0.0125/0.25 = 0.05; surfaces 0.17.
//
//	upper: sections 0.52+2.5 = 3.02 and 0.52+0.76923 = 1.28923
//	       1/R' = 0.85/3.02 + 0.15/1.28923 = 0.281457+0.116348 → R' = 2.513802
//	lower: 1/R_l = 0.85/2.5 + 0.15/0.76923 = 0.535 → 1.869159; R" = 2.389159
//	U = 2/(2.513802+2.389159) = 0.407916
func TestUBridgedLayer(t *testing.T) {
	var w wall.Wall
	w.Add(layer(0.3, 1.0))
	l := layer(0.1, 0.04)
	l.BridgeR, l.BridgeShare = 0.1/0.13, 0.15
	w.Add(l)
	w.Add(layer(0.0125, 0.25))
	if got := w.U(0.13, 0.04); math.Abs(got-0.407916) > 2e-6 {
		t.Errorf("U = %.6f W/m²K, by hand 0.407916", got)
	}
}

// With two bridged layers the result must still lie between the wall with no
// bridge and the wall that is all bridge, and the limits must be ordered: this
// holds for any wall (ISO 6946:2017, 6.7.2).
func TestUTwoBridgedLayersBounded(t *testing.T) {
	build := func(share float64) *wall.Wall {
		var w wall.Wall
		w.Add(layer(0.5, 1.2))
		for _, d := range []float64{0.06, 0.025} {
			l := layer(d, 0.04)
			l.BridgeR, l.BridgeShare = d/0.13, share
			w.Add(l)
		}
		return &w
	}
	none, some, all := build(0).U(0.13, 0.04), build(0.12).U(0.13, 0.04), build(0.999999).U(0.13, 0.04)
	if !(none < some && some < all) {
		t.Errorf("U without, with and all bridge: %v, %v, %v", none, some, all)
	}
}

func TestAddRefusesPastTheLastLayer(t *testing.T) {
	var w wall.Wall
	for range wall.MaxLayers {
		if w.Add(layer(0.01, 1)) < 0 {
			t.Fatal("refused too early")
		}
	}
	if w.Add(layer(0.01, 1)) != -1 || w.N != wall.MaxLayers {
		t.Error("took a layer past MaxLayers")
	}
}

// The resistance to a depth grows along each layer in proportion, and beyond the
// wall is that of the whole.
func TestResistanceToADepth(t *testing.T) {
	var w wall.Wall
	w.Add(layer(0.4, 0.8))
	w.Add(layer(0.1, 0.04))
	for depth, want := range map[float64]float64{0: 0, 0.2: 0.25, 0.4: 0.5, 0.45: 1.75, 0.5: 3, 9: 3} {
		if r := w.ResistanceTo(depth); math.Abs(r-want) > 1e-12 {
			t.Errorf("to %v m: %v m²K/W, want %v", depth, r, want)
		}
	}
}
