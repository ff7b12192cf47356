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

// solve overwrites r with the solution. A fresh system is eliminated on the way, which
// leaves in di the inverses of the pivots, in up above the middle di⁻¹·up and in lo
// below it di⁻¹·lo; with these it is solved again for other right sides.
func (b *blockTri) solve(r []pair, fresh bool) {
	n := len(r)
	lo, di, up := b.lo[:n], b.di[:n], b.up[:n]
	m := n / 2
	var x, y pair
	for i, k := 0, n-1; i < m; i, k = i+1, k-1 {
		if fresh {
			if i > 0 {
				di[i].subtract(&lo[i], &up[i-1])
			}
			di[i].invert()
			up[i] = product(&di[i], &up[i])
		}
		if i > 0 {
			r[i] = lo[i].less(x, r[i])
		}
		x = di[i].times(r[i])
		r[i] = x
		if k == m {
			continue
		}
		if fresh {
			if i > 0 {
				di[k].subtract(&up[k], &lo[k+1])
			}
			di[k].invert()
			lo[k] = product(&di[k], &lo[k])
		}
		if i > 0 {
			r[k] = up[k].less(y, r[k])
		}
		y = di[k].times(r[k])
		r[k] = y
	}
	// The middle row, whose neighbours are eliminated to x and y.
	if m > 0 {
		r[m] = lo[m].less(x, r[m])
		if fresh {
			di[m].subtract(&lo[m], &up[m-1])
		}
	}
	if m < n-1 {
		r[m] = up[m].less(y, r[m])
		if fresh {
			di[m].subtract(&up[m], &lo[m+1])
		}
	}
	if fresh {
		di[m].invert()
	}
	x = di[m].times(r[m])
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
