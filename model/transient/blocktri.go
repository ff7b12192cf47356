package transient

import "slices"

// mat2 is a 2×2 block: rows (enthalpy, water), columns (temperature, u).
type mat2 struct{ tt, tu, ut, uu float64 }

func (m *mat2) invert() {
	det := 1 / (m.tt*m.uu - m.tu*m.ut)
	m.tt, m.tu, m.ut, m.uu = m.uu*det, -m.tu*det, -m.ut*det, m.tt*det
}

// times returns m·x.
func (m *mat2) times(x pair) pair { return pair{m.tt*x.t + m.tu*x.u, m.ut*x.t + m.uu*x.u} }

// less takes m·x off y.
func (m *mat2) less(x, y pair) pair {
	return pair{y.t - m.tt*x.t - m.tu*x.u, y.u - m.ut*x.t - m.uu*x.u}
}

// product returns a·b.
func product(a, b *mat2) mat2 {
	return mat2{a.tt*b.tt + a.tu*b.ut, a.tt*b.tu + a.tu*b.uu, a.ut*b.tt + a.uu*b.ut, a.ut*b.tu + a.uu*b.uu}
}

// subtract takes a·b off m.
func (m *mat2) subtract(a, b *mat2) {
	m.tt -= a.tt*b.tt + a.tu*b.ut
	m.tu -= a.tt*b.tu + a.tu*b.uu
	m.ut -= a.ut*b.tt + a.uu*b.ut
	m.uu -= a.ut*b.tu + a.uu*b.uu
}

// blockTri is a block-tridiagonal system with 2×2 blocks. It is eliminated from
// both ends to the middle: two independent chains of operations, which a
// processor overlaps, instead of one twice as long. Blocks are inverted without
// pivoting: storage makes every diagonal block regular, and for an implicit step
// the elimination keeps it so.
type blockTri struct {
	lo, di, up []mat2
	r          []pair // right side of the Newton system, then its solution
}

func (b *blockTri) resize(n int) {
	b.lo, b.di, b.up = grow(b.lo, n), grow(b.di, n), grow(b.up, n)
	b.r = grow(b.r, n)
}

// grow returns v with length n, reusing its array where it fits.
func grow[T any](v []T, n int) []T { return slices.Grow(v[:0], n)[:n] }

// solve overwrites r with the solution, di with the inverses of the pivots, up
// above the middle with di⁻¹·up and lo below it with di⁻¹·lo.
func (b *blockTri) solve(r []pair) {
	n := len(r)
	lo, di, up := b.lo[:n], b.di[:n], b.up[:n]
	m := n / 2
	var gu, gl mat2
	var x, y pair
	for i, k := 0, n-1; i < m; i, k = i+1, k-1 {
		d, q := di[i], r[i]
		if i > 0 {
			d.subtract(&lo[i], &gu)
			q = lo[i].less(x, q)
		}
		d.invert()
		gu, x = product(&d, &up[i]), d.times(q)
		di[i], up[i], r[i] = d, gu, x
		if k == m {
			continue
		}
		d, q = di[k], r[k]
		if i > 0 {
			d.subtract(&up[k], &gl)
			q = up[k].less(y, q)
		}
		d.invert()
		gl, y = product(&d, &lo[k]), d.times(q)
		di[k], lo[k], r[k] = d, gl, y
	}
	if m > 0 {
		di[m].subtract(&lo[m], &gu)
	}
	if m < n-1 {
		di[m].subtract(&up[m], &gl)
	}
	di[m].invert()
	b.outwards(r, x, y)
}

// resolve solves for another right side with what solve left.
func (b *blockTri) resolve(r []pair) {
	n := len(r)
	m := n / 2
	var x, y pair
	for i, k := 0, n-1; i < m; i, k = i+1, k-1 {
		if i > 0 {
			r[i] = b.lo[i].less(x, r[i])
		}
		x = b.di[i].times(r[i])
		r[i] = x
		if k > m {
			if i > 0 {
				r[k] = b.up[k].less(y, r[k])
			}
			y = b.di[k].times(r[k])
			r[k] = y
		}
	}
	b.outwards(r, x, y)
}

// outwards solves for the middle row, whose neighbours are eliminated to x and
// y, and substitutes outwards.
func (b *blockTri) outwards(r []pair, x, y pair) {
	n := len(r)
	lo, up := b.lo[:n], b.up[:n]
	m := n / 2
	q := r[m]
	if m > 0 {
		q = lo[m].less(x, q)
	}
	if m < n-1 {
		q = up[m].less(y, q)
	}
	x = b.di[m].times(q)
	r[m], y = x, x
	for i, k := m-1, m+1; i >= 0; i, k = i-1, k+1 {
		x = up[i].less(x, r[i])
		r[i] = x
		if k < n {
			y = lo[k].less(y, r[k])
			r[k] = y
		}
	}
}
