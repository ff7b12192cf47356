package transient

// halfCell is the path between a cell's centre and one of its faces: vapour and
// liquid side by side. A wet cell brings water to its face as liquid, so that it
// evaporates there and not half a cell deep; without this the width of the cell
// at a face rules how fast a wall dries.
type halfCell struct {
	c *cell
	t *table
	h float64
}

// flow is a flow from the centre to the face and its derivatives: in the state
// of the cell (T, U) and in the face's temperature (F) and potential (S).
type flow struct{ v, T, U, F, S float64 }

// eval returns vapour and liquid flow to a face with vapour state v at u.
func (a *halfCell) eval(v *vapour, u float64, wetting bool) (vap, liq flow) {
	c, r := a.c, 1/a.h
	dp := c.p - v.p
	k := c.del * r
	vap = flow{k * dp, r*c.delT*dp + k*c.pT, r*c.delU*dp + k*c.pU, -k * v.pT, -k * v.pU}
	psi, psiU := a.t.potential(u, wetting)
	d, m := (c.psi-psi)*r, c.liq
	liq = flow{m * d, c.liqT * d, c.liqU*d + m*r*c.psiU, 0, -m * r * psiU}
	return vap, liq
}

func (a flow) plus(b flow) flow {
	return flow{a.v + b.v, a.T + b.T, a.U + b.U, a.F + b.F, a.S + b.S}
}

// faceIterations bounds the local solves at faces.
const faceIterations = 60

// faceAccuracy is the last Newton step of a local solve, in u, that is taken to
// first order only: what it leaves is of its square. (Only the test of the
// Jacobian changes it.)
var faceAccuracy = 1e-3

// root is a safeguarded Newton search for the zero of a rising function.
type root struct{ lo, hi float64 }

// next returns the next trial after value e with slope d at u, and whether u is
// settled.
func (r *root) next(u, e, d float64) (float64, bool) {
	if e > 0 {
		r.hi = u
	} else {
		r.lo = u
	}
	v := r.lo - 1 // nowhere: bisect
	if d > 0 {
		v = u - e/d
	}
	if !(v >= r.lo && v <= r.hi) {
		v = 0.5 * (r.lo + r.hi)
	}
	return v, abs(v-u) < faceAccuracy || r.hi-r.lo < faceAccuracy
}
