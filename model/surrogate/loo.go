package surrogate

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// block is the set of outputs that are present in the same rows, so that one
// decomposition serves all of them.
type block struct {
	rows    []int      // rows of the training set
	outputs []int      // outputs of the caller
	z, h    *mat.Dense // of rows
	y       *mat.Dense // rows × outputs, standardised
}

// solution is one output's ridge, its weights of the rows, and its
// leave-one-out errors (prediction without the row − truth) in units of y.
type solution struct {
	ridge float64
	alpha []float64
	err   []float64
	mse   float64
}

// solve fits every output of the block with the ridge of least leave-one-out
// error among ridges. With G = K + ridge·I and α = G⁻¹y the error of row i,
// left out, is −α_i / (G⁻¹)_ii: exact, without a refit. (Wahba, Spline Models
// for Observational Data, SIAM 1990, ch. 4; from memory.) The first ridge wins
// a tie, so they go from large to small.
func (b *block) solve(gram *mat.SymDense, ridges []float64) []solution {
	n, m := b.y.Dims()
	best := make([]solution, m)
	for o := range best {
		best[o].mse = math.Inf(1)
	}
	g := mat.NewSymDense(n, nil)
	inv := mat.NewSymDense(n, nil)
	alpha := mat.NewDense(n, m, nil)
	errs := make([]float64, n)
	var chol mat.Cholesky
	for _, ridge := range ridges {
		g.CopySym(gram)
		for i := range n {
			g.SetSym(i, i, g.At(i, i)+ridge)
		}
		if !chol.Factorize(g) {
			break // smaller ridges will fail too, the larger ones stand
		}
		// Errors here only say that G is ill-conditioned; the leave-one-out error
		// then shows what the ridge is worth.
		_ = chol.InverseTo(inv)
		// Not inv × y: the product loses what a solve keeps.
		_ = chol.SolveTo(alpha, b.y)
		for o := range m {
			for i := range n {
				errs[i] = -alpha.At(i, o) / inv.At(i, i)
			}
			mse := floats.Dot(errs, errs) / float64(n)
			if mse < best[o].mse {
				best[o] = solution{
					ridge: ridge, mse: mse,
					alpha: mat.Col(best[o].alpha, o, alpha),
					err:   append(best[o].err[:0], errs...),
				}
			}
		}
	}
	return best
}
