package transient

import "math"

// lay makes about as many cells of the wall as are asked for: each layer gets a share
// by the square root of its thickness (at least three), finest at its two faces and
// growing geometrically to its middle. The width aimed at next to the outer face is
// Options.Fine; other faces get twice that.
func (s *Solver) lay() {
	var sum float64
	for _, l := range s.wall.Layers {
		sum += math.Sqrt(l.Thickness)
	}
	s.dx, s.mid, s.layer, s.first = s.dx[:0], s.mid[:0], s.layer[:0], s.first[:0]
	var at float64
	for i, l := range s.wall.Layers {
		n := max(3, int(math.Round(float64(s.opt.Cells)*math.Sqrt(l.Thickness)/sum)))
		a, b := 2*s.opt.Fine, 2*s.opt.Fine
		if i == 0 {
			a = s.opt.Fine
		}
		start := len(s.dx)
		s.first = append(s.first, start)
		s.dx = appendLayer(s.dx, l.Thickness, n, a, b)
		for _, h := range s.dx[start:] {
			s.mid = append(s.mid, at+h/2)
			s.layer = append(s.layer, i)
			at += h
		}
	}
	s.n = len(s.dx)
	s.first = append(s.first, s.n)
}

// span is the cells of a layer: the first and one past the last.
func (s *Solver) span(layer int) (first, last int) { return s.first[layer], s.first[layer+1] }

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
