package surrogate

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// leastRelevance keeps a feature that seems to do nothing from being lost: its
// length is at most this many times that of the strongest.
const leastRelevance = 1.0 / 50

// uniform gives every feature the same weight.
func uniform(p int) []float64 {
	w := make([]float64, p)
	for j := range w {
		w[j] = 1
	}
	return w
}

// normalise floors the weights and makes Σ w² their count. Without any effect
// it gives equal weights.
func normalise(w []float64) []float64 {
	if len(w) == 0 {
		return w
	}
	top := floats.Max(w)
	if !(top > 0) || math.IsInf(top, 1) {
		return uniform(len(w))
	}
	for j := range w {
		w[j] = max(w[j]/top, leastRelevance)
	}
	floats.Scale(math.Sqrt(float64(len(w)))/floats.Norm(w, 2), w)
	return w
}

// trendEffects weighs each feature by its standardised linear and quadratic
// effects, in the root of the sum of squares over all outputs.
func trendEffects(blocks []block, f *features) []float64 {
	w := make([]float64, len(f.keep))
	for _, b := range blocks {
		n, terms := b.h.Dims()
		_, m := b.y.Dims()
		normal := mat.NewSymDense(terms, nil)
		normal.SymOuterK(1, b.h.T())
		for k := range terms {
			// A light ridge: there may be as many terms as rows.
			normal.SetSym(k, k, normal.At(k, k)+1e-2*float64(n))
		}
		var chol mat.Cholesky
		if !chol.Factorize(normal) {
			continue
		}
		var right, beta mat.Dense
		right.Mul(b.h.T(), b.y)
		if chol.SolveTo(&beta, &right) != nil {
			continue
		}
		for o := range m {
			for j := range w {
				w[j] += sq(beta.At(1+j, o))
			}
			for k, j := range f.square {
				w[j] += sq(beta.At(1+len(f.keep)+k, o))
			}
		}
	}
	return roots(w)
}

// gradients gives, for each output of a block, the mean square over all rows of
// the slope of the radial part of its surface along each feature: the diagonal
// of the average gradient outer product (Radhakrishnan et al., Science 383,
// 2024; from memory). The trend is left out: the kernel need not follow what
// the trend already does.
func (b *block) gradients(s *shape, fits []solution) [][]float64 {
	scale := s.scales()
	u := scaleColumns(b.z, scale)
	d := distances(u)
	n, p := u.Dims()
	pull := mat.NewSymDense(n, nil)
	for i := range n {
		for l := i; l < n; l++ {
			pull.SetSym(i, l, s.kernel.slope(d.At(i, l)))
		}
	}
	out := make([][]float64, len(fits))
	for o, fit := range fits {
		// The gradient of Σ α_l k(u, u_l) at u_i is
		// Σ_l α_l slope_il u_l − u_i Σ_l α_l slope_il.
		weighted := mat.DenseCopyOf(u)
		for l := range n {
			floats.Scale(fit.alpha[l], weighted.RawRowView(l))
		}
		var first mat.Dense
		first.Mul(pull, weighted)
		var sum mat.VecDense
		sum.MulVec(pull, mat.NewVecDense(n, fit.alpha))
		out[o] = make([]float64, p)
		for i := range n {
			ui, fi := u.RawRowView(i), first.RawRowView(i)
			for j := range p {
				out[o][j] += sq((fi[j]-ui[j]*sum.AtVec(i))*scale[j]) / float64(n)
			}
		}
	}
	return out
}

// gradientEffects weighs each feature by the root of its gradients, summed
// over all outputs.
func gradientEffects(s *shape, blocks []block, fits [][]solution) []float64 {
	w := make([]float64, len(s.weight))
	for k := range blocks {
		for _, g := range blocks[k].gradients(s, fits[k]) {
			floats.Add(w, g)
		}
	}
	return roots(w)
}

// roots turns sums of squares into weights.
func roots(squares []float64) []float64 {
	w := make([]float64, len(squares))
	for j, v := range squares {
		w[j] = math.Sqrt(v)
	}
	return normalise(w)
}

func sq(v float64) float64 { return v * v }
