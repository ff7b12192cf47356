package transient

// mat2 is a 2×2 block: rows (enthalpy, water), columns (temperature, u).
type mat2 struct{ tt, tu, ut, uu float64 }

// pair is a value for each of the two unknowns or balances of a cell.
type pair struct{ t, u float64 }

// blockTri is a block-tridiagonal system with 2×2 blocks. It is eliminated from
// both ends to the middle: two independent chains of operations, which a
// processor overlaps, instead of one twice as long. Blocks are inverted without
// pivoting: storage makes every diagonal block regular, and for an implicit step
// the elimination keeps it so.
type blockTri struct {
	lo, di, up []mat2 // di becomes its inverse; up above and lo below the middle become di⁻¹·up, di⁻¹·lo
	r          []pair
}

func (b *blockTri) resize(n int) {
	b.lo, b.di, b.up = grow(b.lo, n), grow(b.di, n), grow(b.up, n)
	b.r = grow(b.r, n)
}

// grow returns v with length n, reusing its array where it fits.
func grow[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	return v[:n]
}

// couple adds a flux (q, g) from row i−1 to row i with derivatives l and u in
// their unknowns.
func (b *blockTri) couple(i int, l, u mat2, q, g float64) {
	r0, r1, a, d := &b.r[i-1], &b.r[i], &b.di[i-1], &b.di[i]
	r0.t -= q
	r0.u -= g
	r1.t += q
	r1.u += g
	a.tt += l.tt
	a.tu += l.tu
	a.ut += l.ut
	a.uu += l.uu
	d.tt -= u.tt
	d.tu -= u.tu
	d.ut -= u.ut
	d.uu -= u.uu
	b.up[i-1] = u
	b.lo[i] = mat2{-l.tt, -l.tu, -l.ut, -l.uu}
}

func (m *mat2) invert() {
	det := 1 / (m.tt*m.uu - m.tu*m.ut)
	m.tt, m.tu, m.ut, m.uu = m.uu*det, -m.tu*det, -m.ut*det, m.tt*det
}

// solve factors the system in place and overwrites r with the solution.
func (b *blockTri) solve() {
	n := len(b.r)
	lo, di, up, r := b.lo[:n], b.di[:n], b.up[:n], b.r[:n]
	m := n / 2
	var gu, gl mat2
	var zu, zl pair
	for i := 0; i < m; i++ {
		l, d, c, q := &lo[i], &di[i], &up[i], &r[i]
		if i > 0 {
			d.tt -= l.tt*gu.tt + l.tu*gu.ut
			d.tu -= l.tt*gu.tu + l.tu*gu.uu
			d.ut -= l.ut*gu.tt + l.uu*gu.ut
			d.uu -= l.ut*gu.tu + l.uu*gu.uu
			q.t -= l.tt*zu.t + l.tu*zu.u
			q.u -= l.ut*zu.t + l.uu*zu.u
		}
		d.invert()
		gu = mat2{d.tt*c.tt + d.tu*c.ut, d.tt*c.tu + d.tu*c.uu, d.ut*c.tt + d.uu*c.ut, d.ut*c.tu + d.uu*c.uu}
		zu = pair{d.tt*q.t + d.tu*q.u, d.ut*q.t + d.uu*q.u}
		*c, *q = gu, zu

		k := n - 1 - i
		if k == m {
			continue
		}
		l, d, c, q = &lo[k], &di[k], &up[k], &r[k]
		if i > 0 {
			d.tt -= c.tt*gl.tt + c.tu*gl.ut
			d.tu -= c.tt*gl.tu + c.tu*gl.uu
			d.ut -= c.ut*gl.tt + c.uu*gl.ut
			d.uu -= c.ut*gl.tu + c.uu*gl.uu
			q.t -= c.tt*zl.t + c.tu*zl.u
			q.u -= c.ut*zl.t + c.uu*zl.u
		}
		d.invert()
		gl = mat2{d.tt*l.tt + d.tu*l.ut, d.tt*l.tu + d.tu*l.uu, d.ut*l.tt + d.uu*l.ut, d.ut*l.tu + d.uu*l.uu}
		zl = pair{d.tt*q.t + d.tu*q.u, d.ut*q.t + d.uu*q.u}
		*l, *q = gl, zl
	}
	l, d, c := &lo[m], &di[m], &up[m]
	if m > 0 {
		d.tt -= l.tt*gu.tt + l.tu*gu.ut
		d.tu -= l.tt*gu.tu + l.tu*gu.uu
		d.ut -= l.ut*gu.tt + l.uu*gu.ut
		d.uu -= l.ut*gu.tu + l.uu*gu.uu
	}
	if m < n-1 {
		d.tt -= c.tt*gl.tt + c.tu*gl.ut
		d.tu -= c.tt*gl.tu + c.tu*gl.uu
		d.ut -= c.ut*gl.tt + c.uu*gl.ut
		d.uu -= c.ut*gl.tu + c.uu*gl.uu
	}
	d.invert()
	b.finish(m, zu, zl)
}

// resolve solves again with the factors of solve for the right side in r.
func (b *blockTri) resolve() {
	n := len(b.r)
	lo, di, up, r := b.lo[:n], b.di[:n], b.up[:n], b.r[:n]
	m := n / 2
	var zu, zl pair
	for i := 0; i < m; i++ {
		l, d, q := &lo[i], &di[i], r[i]
		if i > 0 {
			q.t -= l.tt*zu.t + l.tu*zu.u
			q.u -= l.ut*zu.t + l.uu*zu.u
		}
		zu = pair{d.tt*q.t + d.tu*q.u, d.ut*q.t + d.uu*q.u}
		r[i] = zu
	}
	for k := n - 1; k > m; k-- {
		c, d, q := &up[k], &di[k], r[k]
		if k < n-1 {
			q.t -= c.tt*zl.t + c.tu*zl.u
			q.u -= c.ut*zl.t + c.uu*zl.u
		}
		zl = pair{d.tt*q.t + d.tu*q.u, d.ut*q.t + d.uu*q.u}
		r[k] = zl
	}
	b.finish(m, zu, zl)
}

// finish solves for the middle row m, whose neighbours are eliminated, and
// substitutes outwards.
func (b *blockTri) finish(m int, zu, zl pair) {
	n := len(b.r)
	lo, up, r := b.lo[:n], b.up[:n], b.r[:n]
	l, c, d, q := &lo[m], &up[m], &b.di[m], r[m]
	if m > 0 {
		q.t -= l.tt*zu.t + l.tu*zu.u
		q.u -= l.ut*zu.t + l.uu*zu.u
	}
	if m < n-1 {
		q.t -= c.tt*zl.t + c.tu*zl.u
		q.u -= c.ut*zl.t + c.uu*zl.u
	}
	x := pair{d.tt*q.t + d.tu*q.u, d.ut*q.t + d.uu*q.u}
	r[m] = x
	y := x
	for i := 1; i <= m; i++ {
		g, p := &up[m-i], &r[m-i]
		x = pair{p.t - g.tt*x.t - g.tu*x.u, p.u - g.ut*x.t - g.uu*x.u}
		*p = x
		if k := m + i; k < n {
			g, p = &lo[k], &r[k]
			y = pair{p.t - g.tt*y.t - g.tu*y.u, p.u - g.ut*y.t - g.uu*y.u}
			*p = y
		}
	}
}
