package transient

import "math"

// grid is the discretisation of a wall: cells, and the faces between them.
type grid struct {
	dx    []float64 // cell width, m
	x     []float64 // cell centre, m from the outer face
	layer []int     // layer of each cell
	first []int     // first cell of each layer, and the number of cells at the end
}

// build lays about cells cells into the wall: each layer gets a share by the
// square root of its thickness (at least three), finest at its two faces and
// growing geometrically to its middle. fine is the width aimed at next to the
// outer face, m; other faces get twice that.
func (g *grid) build(w *Wall, cells int, fine float64) {
	var sum float64
	for i := range w.Layers {
		sum += math.Sqrt(w.Layers[i].Thickness)
	}
	g.dx, g.x, g.layer, g.first = g.dx[:0], g.x[:0], g.layer[:0], g.first[:0]
	var at float64
	for i := range w.Layers {
		d := w.Layers[i].Thickness
		n := int(math.Round(float64(cells) * math.Sqrt(d) / sum))
		n = max(n, 3)
		a, b := 2*fine, 2*fine
		if i == 0 {
			a = fine
		}
		g.first = append(g.first, len(g.dx))
		start := len(g.dx)
		g.dx = appendLayer(g.dx, d, n, a, b)
		for _, h := range g.dx[start:] {
			g.x = append(g.x, at+h/2)
			g.layer = append(g.layer, i)
			at += h
		}
	}
	g.first = append(g.first, len(g.dx))
}

// span is the cells of a layer: the first and one past the last.
func (g *grid) span(layer int) (first, last int) { return g.first[layer], g.first[layer+1] }

// appendLayer appends n widths that add up to d, starting near a and ending
// near b, with one growth ratio towards the middle (at most 2).
func appendLayer(dst []float64, d float64, n int, a, b float64) []float64 {
	width := func(r float64, k int) float64 {
		return math.Min(a*math.Pow(r, float64(k)), b*math.Pow(r, float64(n-1-k)))
	}
	total := func(r float64) float64 {
		var t float64
		for k := 0; k < n; k++ {
			t += width(r, k)
		}
		return t
	}
	lo, hi := 1.0, 2.0
	if total(lo) >= d {
		hi = lo // uniform: the layer is thin
		a, b = d/float64(n), d/float64(n)
	}
	for k := 0; k < 60 && hi > lo; k++ {
		if m := (lo + hi) / 2; total(m) < d {
			lo = m
		} else {
			hi = m
		}
	}
	f := d / total(lo)
	for k := 0; k < n; k++ {
		dst = append(dst, f*width(lo, k))
	}
	return dst
}
