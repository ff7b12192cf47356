package material_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wallsift/model/material"
)

func TestSdAt(t *testing.T) {
	curve := []material.SdPoint{{RH: 0.25, Sd: 8}, {RH: 0.60, Sd: 4}, {RH: 0.80, Sd: 0.5}}
	// By hand: half-way between two points the geometric mean, √(8·4) = 5.656854
	// and √(4·0.5) = 1.414214; outside the points the end values.
	for rh, want := range map[float64]float64{0: 8, 0.25: 8, 0.425: 5.656854, 0.60: 4, 0.70: 1.414214, 0.80: 0.5, 1: 0.5} {
		if got := material.SdAt(curve, rh); !close(got, want, 1e-6) {
			t.Errorf("s_d at %v = %v m, by hand %v", rh, got, want)
		}
	}
	if got := material.SdAt(curve[:1], 0.9); got != 8 {
		t.Errorf("a curve of one point: %v", got)
	}
}

// A variable retarder opens as it gets damp, without jumps, and stays between
// its end values.
func TestSdAtFallsWithHumidity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var curve []material.SdPoint
		rh, sd := 0.0, 50.0
		for range rapid.IntRange(1, 6).Draw(t, "points") {
			rh += rapid.Float64Range(0.01, 0.16).Draw(t, "step")
			sd *= rapid.Float64Range(0.05, 1).Draw(t, "fall")
			curve = append(curve, material.SdPoint{RH: rh, Sd: sd})
		}
		a := rapid.Float64Range(0, 1).Draw(t, "a")
		b := rapid.Float64Range(a, 1).Draw(t, "b")
		first, last := material.SdAt(curve, a), material.SdAt(curve, b)
		if last > first*(1+1e-12) {
			t.Errorf("s_d rises from %v to %v between %v and %v", first, last, a, b)
		}
		if first > curve[0].Sd*(1+1e-12) || last < curve[len(curve)-1].Sd*(1-1e-12) {
			t.Errorf("s_d %v to %v leaves the curve %v", first, last, curve)
		}
		for _, p := range curve {
			if !close(material.SdAt(curve, p.RH), p.Sd, 1e-9) {
				t.Errorf("the curve misses its point %+v: %v", p, material.SdAt(curve, p.RH))
			}
		}
	})
}

// s_d = μ·d with the mean of dry cup and wet cup: gypsum board 12.5 mm, μ 10/4
// of ISO 10456, 7·0.0125 = 0.0875 m.
func TestSdLayer(t *testing.T) {
	board := material.Material{MuDry: 10, MuWet: 4}
	if got := board.SdLayer(0.0125); math.Abs(got-0.0875) > 1e-12 {
		t.Errorf("board: %v", got)
	}
	sheet := material.Material{Sd: 500}
	if got := sheet.SdLayer(0); got != 500 {
		t.Errorf("sheet: %v", got)
	}
	retarder := material.Material{SdCurve: []material.SdPoint{{RH: 0.3, Sd: 6}, {RH: 0.8, Sd: 0.3}}}
	if got := retarder.SdLayer(0); got != 6 {
		t.Errorf("retarder: %v", got)
	}
}
