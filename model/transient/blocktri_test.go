package transient

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The block solver against gonum's dense LU.
func TestBlockSolverAgainstDense(t *testing.T) {
	rng := rand.New(rand.NewSource(2))
	block := func(s float64) mat2 {
		return mat2{rng.NormFloat64() * s, rng.NormFloat64() * s, rng.NormFloat64() * s, rng.NormFloat64() * s}
	}
	for n := 1; n < 14; n++ {
		var b blockTri
		b.resize(n)
		a := mat.NewDense(2*n, 2*n, nil)
		put := func(i, j int, m mat2) {
			a.Set(2*i, 2*j, m.tt)
			a.Set(2*i, 2*j+1, m.tu)
			a.Set(2*i+1, 2*j, m.ut)
			a.Set(2*i+1, 2*j+1, m.uu)
		}
		for i := 0; i < n; i++ {
			b.di[i] = block(1)
			b.di[i].tt += 8
			b.di[i].uu += 8
			b.lo[i], b.up[i] = block(1), block(1)
			put(i, i, b.di[i])
			if i > 0 {
				put(i, i-1, b.lo[i])
			}
			if i < n-1 {
				put(i, i+1, b.up[i])
			}
		}
		for pass := 0; pass < 2; pass++ {
			rhs := mat.NewVecDense(2*n, nil)
			for i := range b.r {
				b.r[i] = pair{rng.NormFloat64(), rng.NormFloat64()}
				rhs.SetVec(2*i, b.r[i].t)
				rhs.SetVec(2*i+1, b.r[i].u)
			}
			var x mat.VecDense
			if err := x.SolveVec(a, rhs); err != nil {
				t.Fatal(err)
			}
			b.solve(b.r, pass == 0)
			for i, r := range b.r {
				if d := math.Max(math.Abs(r.t-x.AtVec(2*i)), math.Abs(r.u-x.AtVec(2*i+1))); d > 1e-12 {
					t.Fatalf("n = %d, pass %d, row %d: %v, dense LU %g %g", n, pass, i, r, x.AtVec(2*i), x.AtVec(2*i+1))
				}
			}
		}
	}
}
