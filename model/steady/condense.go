package steady

import "wallsift/model/air"

// Condensation is a year of interstitial condensation. Nodes are those of the
// Profile it was computed from; months run 0–11 from January.
type Condensation struct {
	Peak      float64 // kg/m², most condensate held at once, all planes together
	PeakMonth int     // month at whose end that is; -1 when it stays dry
	Plane     int     // node that holds the most at that time; -1 when dry
	Condensed float64 // kg/m²a, all that condensed
	Residue   float64 // kg/m², still there twelve months after the start
	Start     int     // month the year was begun in: the first wet one after a dry one
	Held      [12]float64
	// MarkRH and InnerRH are monthly mean relative humidities (0–1) at the marked
	// depth and the inner face of the masonry.
	MarkRH, InnerRH [12]float64
	MarkTheta       [12]float64 // °C
	RetarderSd      [12]float64 // m, what the variable retarder settled at
}

// Solver is the reusable workspace of Condense. It holds no result between
// calls; one Solver serves one goroutine.
type Solver struct {
	psat   [MaxNodes]float64 // Pa, of the month at hand
	q      [MaxNodes]float64 // Pa, what the line may reach: psat, the air's pressure at the two ends
	s      [MaxNodes]float64 // m, with the retarder's s_d of the month
	held   [MaxNodes]float64 // kg/m²
	corner [MaxNodes]int     // nodes where the vapour pressure line bends, ends included
	n      int               // corners in use
	sd     float64           // m, what the retarder settled at last: the next guess
	curve  sdTable
}

// Condense runs the year of ISO 13788:2012 clause 6.4: in each month the vapour
// pressure line is the taut string under the saturation line (Glaser's
// construction for any number of planes), condensate is carried on, and a
// plane that dries out within a month splits that month.
func (v *Solver) Condense(p *Profile, months *[12]Month) Condensation {
	c := Condensation{PeakMonth: -1, Plane: -1}
	clear(v.held[:p.N])
	copy(v.s[:p.N], p.S[:p.N])
	v.sd = v.dry(p)
	var fresh [12]bool
	for m := range months {
		c.RetarderSd[m] = v.settle(p, &months[m])
		v.sample(p, &months[m], m, &c)
		fresh[m] = v.n > 2
	}
	c.Start = firstWet(&fresh)
	for k := range 12 {
		m := (c.Start + k) % 12
		mo := &months[m]
		if !fresh[m] && c.Held[(m+11)%12] == 0 {
			continue // dry, and sampled above
		}
		c.RetarderSd[m] = v.settle(p, mo)
		v.sample(p, mo, m, &c)
		v.carry(p, mo, seconds(m), &c)
		v.note(p, m, &c)
	}
	c.Residue = c.Held[(c.Start+11)%12]
	return c
}

// firstWet finds the month in which condensation sets in after a month
// without. A wall that condenses in every month, or in none, starts in January.
func firstWet(fresh *[12]bool) int {
	for m := range fresh {
		if fresh[m] && !fresh[(m+11)%12] {
			return m
		}
	}
	return 0
}

// settle finds the vapour pressure line of a month and, with a variable
// retarder, the s_d that agrees with the humidity on its two faces. It returns
// that s_d.
func (v *Solver) settle(p *Profile, m *Month) float64 {
	for i := range p.N {
		v.psat[i] = air.PsatFast(p.Theta(i, m))
	}
	copy(v.q[:p.N], v.psat[:p.N])
	v.q[0], v.q[p.N-1] = m.Pe, m.Pi
	if p.Retarder == 0 {
		v.line(p)
		return 0
	}
	v.sd = v.curve.settle(v.sd, func(sd float64) float64 {
		shift := v.s[p.Retarder-1] + sd - v.s[p.Retarder]
		for i := p.Retarder; i < p.N; i++ {
			v.s[i] += shift
		}
		v.line(p)
		return (v.rh(p, p.Retarder-1) + v.rh(p, p.Retarder)) / 2
	})
	return v.sd
}

// line fills corner with the bends of the vapour pressure line.
func (v *Solver) line(p *Profile) {
	v.corner[0], v.n = 0, 1
	for i := 1; i < p.N; i++ {
		for v.n > 1 && v.held[v.corner[v.n-1]] == 0 && !v.bendsUp(v.corner[v.n-2], v.corner[v.n-1], i) {
			v.n--
		}
		v.corner[v.n] = i
		v.n++
	}
}

// bendsUp says whether node b lies strictly below the chord from a to c, so
// that the taut string keeps it.
func (v *Solver) bendsUp(a, b, c int) bool {
	return (v.q[b]-v.q[a])*(v.s[c]-v.s[a]) < (v.q[c]-v.q[a])*(v.s[b]-v.s[a])
}

// rh returns the relative humidity (0–1) at a key node under the present line.
func (v *Solver) rh(p *Profile, node int) float64 {
	k := 1
	for v.corner[k] < node {
		k++
	}
	a, b := v.corner[k-1], v.corner[k]
	pn := v.q[b]
	if v.s[b] > v.s[a] {
		pn = v.q[a] + (pn-v.q[a])*(v.s[node]-v.s[a])/(v.s[b]-v.s[a])
	}
	return min(pn/v.psat[node], 1)
}

func (v *Solver) sample(p *Profile, m *Month, month int, c *Condensation) {
	c.MarkRH[month] = v.rh(p, p.Mark)
	c.InnerRH[month] = v.rh(p, p.Inner)
	c.MarkTheta[month] = p.Theta(p.Mark, m)
}

// carry moves condensate through one month of the given length in s.
func (v *Solver) carry(p *Profile, m *Month, left float64, c *Condensation) {
	// Each turn either ends the month or dries out one plane, so the number of
	// turns is bounded by the number of nodes.
	for range MaxNodes {
		step := left
		for k := 1; k < v.n-1; k++ {
			i := v.corner[k]
			if g := v.gain(k); g < 0 {
				step = min(step, v.held[i]/-g)
			}
		}
		for k := 1; k < v.n-1; k++ {
			i, g := v.corner[k], v.gain(k)
			if v.held[i] += g * step; v.held[i] <= 1e-12 {
				v.held[i] = 0
			}
			if g > 0 {
				c.Condensed += g * step
			}
		}
		left -= step
		if left <= 1 {
			return
		}
		v.settle(p, m)
	}
}

// gain returns the condensation rate at corner k in kg/(m²·s), negative when
// the plane dries.
func (v *Solver) gain(k int) float64 {
	a, b, c := v.corner[k-1], v.corner[k], v.corner[k+1]
	return air.DeltaStandard * ((v.q[c]-v.q[b])/(v.s[c]-v.s[b]) - (v.q[b]-v.q[a])/(v.s[b]-v.s[a]))
}

func (v *Solver) note(p *Profile, month int, c *Condensation) {
	sum, most := 0.0, 0
	for i := range p.N {
		sum += v.held[i]
		if v.held[i] > v.held[most] {
			most = i
		}
	}
	c.Held[month] = sum
	if sum > c.Peak {
		c.Peak, c.PeakMonth, c.Plane = sum, month, most
	}
}
