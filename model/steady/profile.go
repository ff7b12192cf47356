package steady

import (
	"math"

	"wallsift/model/material"
	"wallsift/model/wall"
)

// MaxNodes bounds the nodes of a Profile.
const MaxNodes = 128

// Profile is a wall cut into slices for the interstitial sum. Node 0 is the
// outer surface, node N-1 the inner surface; between them stand the interfaces
// of layers and of slices.
type Profile struct {
	N     int
	R     [MaxNodes]float64 // m²K/W from the outside air to the node
	S     [MaxNodes]float64 // s_d in m from the outer surface to the node, retarder at its dry value
	Layer [MaxNodes]uint8   // index of the wall layer on the node's outer side
	Total float64           // m²K/W from air to air
	// Mark is the node at the depth asked for in the masonry, Inner the node on
	// the inner face of the masonry and Outer the one on its outer face.
	Mark, Inner, Outer int
	// Retarder is the node on the inner side of the variable retarder, 0 when
	// there is none (one retarder at most counts as variable).
	Retarder int
	curve    []material.SdPoint
}

// Cut fills p with the slices of w between rse and rsi: no slice has more
// thermal resistance than sliceMax (m²K/W, ISO 13788:2012, 6.4.2), and one node
// stands in the masonry at a depth (m) from its inner face. It reports false
// when the wall needs more than MaxNodes.
func (p *Profile) Cut(w *wall.Wall, rse, rsi, sliceMax, depth float64) bool {
	p.N, p.Mark, p.Inner, p.Outer, p.Retarder, p.curve = 1, 0, 0, 0, 0, nil
	p.R[0], p.S[0] = rse, 0
	for i := range w.Layers[:w.N] {
		l := &w.Layers[i]
		mark := 0.0 // share of the layer inside of the mark
		if l.Role == wall.Masonry {
			p.Outer, mark = p.N-1, min(max(depth/l.Thickness, 0), 1)
		}
		ok := p.slices(i, l.R*(1-mark), l.Sd*(1-mark), sliceMax)
		if l.Role == wall.Masonry {
			p.Mark = p.N - 1
			ok = ok && p.slices(i, l.R*mark, l.Sd*mark, sliceMax)
			p.Inner = p.N - 1
		}
		if !ok {
			return false
		}
		if len(l.Curve) > 0 && p.Retarder == 0 {
			p.Retarder, p.curve = p.N-1, l.Curve
		}
	}
	p.Total = p.R[p.N-1] + rsi
	return true
}

func (p *Profile) slices(layer int, r, s, sliceMax float64) bool {
	if r == 0 && s == 0 {
		return true
	}
	n := max(1, int(math.Ceil(r/sliceMax-1e-9)))
	if p.N+n > MaxNodes {
		return false
	}
	r0, s0 := p.R[p.N-1], p.S[p.N-1]
	for k := 1; k <= n; k++ {
		t := float64(k) / float64(n)
		p.R[p.N], p.S[p.N], p.Layer[p.N] = r0+t*r, s0+t*s, uint8(layer)
		p.N++
	}
	return true
}

// Theta returns the temperature in °C of a node in month m.
func (p *Profile) Theta(node int, m *Month) float64 {
	return m.Te + (m.Ti-m.Te)*p.R[node]/p.Total
}

// sdTable is a variable retarder's curve on a fine grid of humidity, so that
// the fixed point needs no power function. It is remade only when the curve
// changes.
type sdTable struct {
	of *material.SdPoint // first point of the curve it was made from
	sd [sdPoints + 1]float64
}

const sdPoints = 1000

// dry readies the table for a profile, and returns the s_d in m of its retarder at the
// dry end, 0 without one.
func (v *Solver) dry(p *Profile) float64 {
	if p.Retarder == 0 {
		return 0
	}
	if t := &v.curve; t.of != &p.curve[0] {
		t.of = &p.curve[0]
		for i := range t.sd {
			t.sd[i] = material.SdAt(p.curve, float64(i)/sdPoints)
		}
	}
	return p.S[p.Retarder] - p.S[p.Retarder-1]
}

// settle returns the s_d in m that agrees with the humidity (0–1) it makes, from a
// guess: a log-damped fixed point, since the curve falls with humidity and the
// humidity falls with s_d, so that the undamped iteration can swing between two values.
func (t *sdTable) settle(sd float64, humidity func(sd float64) float64) float64 {
	for range 40 {
		want := t.at(humidity(sd))
		if math.Abs(want-sd) < 0.005*sd {
			break
		}
		sd = math.Sqrt(sd * want)
	}
	return sd
}

// at returns the s_d in m at a mean humidity of 0–1.
func (t *sdTable) at(rh float64) float64 {
	x := rh * sdPoints
	i := min(max(int(x), 0), sdPoints-1)
	return t.sd[i] + (x-float64(i))*(t.sd[i+1]-t.sd[i])
}
