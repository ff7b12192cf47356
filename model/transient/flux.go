package transient

// flux is what crosses one face inwards per m² and second: water g, enthalpy q,
// and their derivatives in the two unknowns of the cell outside (l) and inside
// (r) of the face.
type flux struct {
	g, q               float64
	glT, glU, grT, grU float64
	qlT, qlU, qrT, qrU float64
}

// join is the geometry of a face between two cells.
type join struct {
	rdx    float64 // 1/distance of the centres, 1/m
	wl, wr float64 // weights that interpolate cell values to the face
	hl, hr float64 // half widths, m
	ifc    *Interface
	tl, tr *table
	ul, ur float64 // last states of the two faces: start of the next local solve
	at     grad    // cell states they belong to
	dl, dr grad    // and how they follow them
	// vl, vr weight the vapour flows of the two half cells into the vapour that
	// crosses a contact without a gap: the side without liquid knows.
	vl, vr     float64
	vapourOnly bool // neither side conducts liquid
}

// warm makes the cells' own states the start of the next local solve.
func (j *join) warm(l, r pair) {
	j.ul, j.ur, j.at, j.dl, j.dr = l.u, r.u, grad{l.t, l.u, r.t, r.u}, grad{}, grad{}
}

// follow moves the start of the local solve along with the cells.
func (j *join) follow(l, r pair) {
	now := grad{l.t, l.u, r.t, r.u}
	var a, b float64
	for k := range now {
		d := now[k] - j.at[k]
		a += j.dl[k] * d
		b += j.dr[k] * d
	}
	j.ul += clamp(a, 0.5)
	j.ur += clamp(b, 0.5)
	j.at = now
}
