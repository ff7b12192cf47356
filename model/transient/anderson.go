package transient

import "math"

// anderson extrapolates a fixed-point iteration.
type anderson struct {
	f, wt, next  []float64
	zOld, fOld   []float64
	dz, df       [][]float64 // differences of the last iterations, newest last
	memory       int
	started      bool
	lastResidual float64
}

func newAnderson(n, memory int) *anderson {
	return &anderson{f: make([]float64, n), wt: make([]float64, n), next: make([]float64, n),
		zOld: make([]float64, n), fOld: make([]float64, n), memory: memory}
}

// extrapolate sets next from the start z of this year and its residual f.
func (a *anderson) extrapolate(z []float64) {
	res := a.norm(a.f)
	if a.started && a.memory > 0 {
		if res > 2*a.lastResidual {
			a.dz, a.df = a.dz[:0], a.df[:0] // the combination misled: forget
		}
		dz, df := make([]float64, len(z)), make([]float64, len(z))
		for i := range z {
			dz[i], df[i] = z[i]-a.zOld[i], a.f[i]-a.fOld[i]
		}
		if len(a.dz) == a.memory {
			a.dz, a.df = a.dz[1:], a.df[1:]
		}
		a.dz, a.df = append(a.dz, dz), append(a.df, df)
	}
	a.started, a.lastResidual = true, res
	copy(a.zOld, z)
	copy(a.fOld, a.f)
	for i := range z {
		a.next[i] = z[i] + a.f[i]
	}
	for k, g := range a.combine() {
		for i := range z {
			a.next[i] -= g * (a.dz[k][i] + a.df[k][i])
		}
	}
	for i := range z {
		a.next[i] = z[i] + clamp(a.next[i]-z[i], 2)
	}
}

// combine returns γ of min |f − Σγ·Δf| in the weighted norm, from slightly
// regularised normal equations.
func (a *anderson) combine() []float64 {
	m := len(a.df)
	if m == 0 {
		return nil
	}
	g := make([]float64, m*(m+1))
	for i := 0; i < m; i++ {
		for j := 0; j <= m; j++ {
			v := a.f
			if j < m {
				v = a.df[j]
			}
			var sum float64
			for k := range v {
				w := a.wt[k] * a.wt[k]
				sum += w * a.df[i][k] * v[k]
			}
			g[i*(m+1)+j] = sum
		}
		g[i*(m+1)+i] *= 1 + 1e-9
	}
	// Gauss–Jordan; the matrix is symmetric positive definite.
	for p := 0; p < m; p++ {
		piv := g[p*(m+1)+p]
		if !(piv > 0) {
			return nil
		}
		for i := 0; i < m; i++ {
			if i == p {
				continue
			}
			q := g[i*(m+1)+p] / piv
			for j := p; j <= m; j++ {
				g[i*(m+1)+j] -= q * g[p*(m+1)+j]
			}
		}
	}
	out := make([]float64, m)
	for i := range out {
		out[i] = g[i*(m+1)+m] / g[i*(m+1)+i]
		if math.IsNaN(out[i]) || math.Abs(out[i]) > 1e4 {
			return nil
		}
	}
	return out
}

func (a *anderson) norm(f []float64) float64 {
	var sum float64
	for i := range f {
		v := f[i] * a.wt[i]
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(f)))
}

// distance is the largest of |f| and |next − z|: what the year changed, and how
// far the extrapolation says the fixed point is.
func (a *anderson) distance(z []float64) float64 {
	var v float64
	for i := range z {
		v = max(v, abs(a.f[i])*a.wt[i], abs(a.next[i]-z[i])*a.wt[i])
	}
	return v
}

// distanceOf is the largest weighted entry of f.
func (a *anderson) distanceOf(f []float64) float64 {
	var v float64
	for i := range f {
		v = max(v, abs(f[i])*a.wt[i])
	}
	return v
}
