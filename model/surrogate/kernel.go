package surrogate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// kernel is a radial kernel of variance 1 as a function of s = r².
type kernel int

const (
	matern52 kernel = iota // twice differentiable: smooth models with soft kinks
	matern32               // once differentiable: models with kinks
	gauss                  // analytic models
	kernels
)

const (
	sqrt3 = 1.7320508075688772935
	sqrt5 = 2.2360679774997896964
)

// apply replaces each s by the kernel there. Rasmussen and Williams 2006,
// equations 4.9 and 4.17, from memory.
func (k kernel) apply(s []float64) {
	// Two passes: the processor then need not wait for one root after another.
	if k != gauss {
		for i, v := range s {
			s[i] = math.Sqrt(max(v, 0))
		}
	}
	switch k {
	case matern52:
		for i, r := range s {
			a := sqrt5 * r
			s[i] = (1 + a*(1+a*(1.0/3))) * decay(a)
		}
	case matern32:
		for i, r := range s {
			a := sqrt3 * r
			s[i] = (1 + a) * decay(a)
		}
	default:
		for i, v := range s {
			s[i] = decay(max(v, 0) / 2)
		}
	}
}

// slope is −2 dk/ds, so that the gradient of k in u is −slope·(u − u').
func (k kernel) slope(s float64) float64 {
	s = max(s, 0)
	switch k {
	case matern52:
		a := sqrt5 * math.Sqrt(s)
		return 5.0 / 3 * (1 + a) * decay(a)
	case matern32:
		return 3 * decay(sqrt3*math.Sqrt(s))
	default:
		return decay(s / 2)
	}
}

// shape holds what all outputs share.
type shape struct {
	kernel            kernel
	length            float64   // in units of the root-mean-square distance of two rows
	constant          float64   // τ₀
	linear, quadratic float64   // τ₁, τ₂; the radial kernel has variance 1
	weight            []float64 // by kept feature, Σ w² = count of kept features
}

// scales gives the factor from z to u, in which the kernel has length 1.
func (s *shape) scales() []float64 {
	// Two rows stand √(2 Σ w²) apart in the root mean square.
	l := s.length * math.Sqrt(2*float64(len(s.weight)))
	out := make([]float64, len(s.weight))
	for j, w := range s.weight {
		out[j] = w / l
	}
	return out
}

// variances gives τ for each trend term.
func (s *shape) variances(terms int) []float64 {
	out := make([]float64, terms)
	for k := range out {
		switch {
		case k == 0:
			out[k] = s.constant
		case k <= len(s.weight):
			out[k] = s.linear
		default:
			out[k] = s.quadratic
		}
	}
	return out
}

// scaleColumns returns a × diag(c).
func scaleColumns(a *mat.Dense, c []float64) *mat.Dense {
	n, _ := a.Dims()
	out := mat.DenseCopyOf(a)
	for i := range n {
		row := out.RawRowView(i)
		for j := range row {
			row[j] *= c[j]
		}
	}
	return out
}

// distances returns r² of all pairs of rows of u, upper triangle.
func distances(u *mat.Dense) *mat.SymDense {
	n, _ := u.Dims()
	g := mat.NewSymDense(n, nil)
	g.SymOuterK(1, u)
	raw := g.RawSymmetric()
	norm := make([]float64, n)
	for i := range n {
		norm[i] = raw.Data[i*raw.Stride+i]
	}
	for i := range n {
		row := raw.Data[i*raw.Stride : i*raw.Stride+n]
		for j := i; j < n; j++ {
			row[j] = norm[i] + norm[j] - 2*row[j]
		}
		row[i] = 0
	}
	return g
}

// gram is K of all pairs of rows. z is nil if no feature varies.
func (s *shape) gram(z, h *mat.Dense) *mat.SymDense {
	n, terms := h.Dims()
	roots := s.variances(terms)
	for k, v := range roots {
		roots[k] = math.Sqrt(v)
	}
	g := mat.NewSymDense(n, nil)
	g.SymOuterK(1, scaleColumns(h, roots))
	if z == nil {
		return g
	}
	m := distances(scaleColumns(z, s.scales()))
	to, from := g.RawSymmetric(), m.RawSymmetric()
	for i := range n {
		row := from.Data[i*from.Stride+i : i*from.Stride+n]
		s.kernel.apply(row)
		dst := to.Data[i*to.Stride+i : i*to.Stride+n]
		for j, v := range row {
			dst[j] += v
		}
	}
	return g
}
