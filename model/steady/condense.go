package steady

import (
	"math"

	"wallsift/model/air"
	"wallsift/model/material"
)

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
	// MarkRH, InnerRH and OuterRH are monthly mean relative humidities (0–1) at
	// the marked depth, the inner and the outer face of the masonry.
	MarkRH, InnerRH, OuterRH [12]float64
	MarkTheta                [12]float64 // °C
	RetarderSd               [12]float64 // m, what the variable retarder settled at
}

// Solver is the reusable workspace of Condense. It holds no result between
// calls; one Solver serves one goroutine.
type Solver struct {
	psat   [MaxNodes]float64 // Pa, of the month at hand
	s      [MaxNodes]float64 // m, with the retarder's s_d of the month
	held   [MaxNodes]float64 // kg/m²
	corner [MaxNodes]int     // nodes where the vapour pressure line bends, ends included
	n      int               // corners in use
	wet    int               // nodes with held > 0
	haveP  bool              // psat is filled for this month
}

// Condense runs the year of ISO 13788:2012 clause 6.4: in each month the vapour
// pressure line is the taut string under the saturation line (Glaser's
// construction for any number of planes), condensate is carried on, and a
// plane that dries out within a month splits that month.
func (v *Solver) Condense(p *Profile, months *[12]Month) Condensation {
	c := Condensation{PeakMonth: -1, Plane: -1}
	v.clear(p)
	start, any := v.firstWet(p, months)
	c.Start = start
	for k := range 12 {
		m := (start + k) % 12
		mo := &months[m]
		c.RetarderSd[m] = v.settle(p, mo)
		v.sample(p, mo, m, &c)
		if any {
			v.carry(p, mo, Seconds[m], &c)
			v.note(p, m, &c)
		}
	}
	if any {
		c.Residue = c.Held[(start+11)%12]
	}
	return c
}

func (v *Solver) clear(p *Profile) {
	clear(v.held[:p.N])
	copy(v.s[:p.N], p.S[:p.N])
	v.wet = 0
}

// firstWet finds the month in which condensation sets in after a month
// without, and whether there is any condensation at all. A wall that condenses
// in every month starts in January.
func (v *Solver) firstWet(p *Profile, months *[12]Month) (start int, any bool) {
	var fresh [12]bool
	for m := range months {
		v.settle(p, &months[m])
		fresh[m] = v.n > 2
		any = any || fresh[m]
	}
	for m := range fresh {
		if fresh[m] && !fresh[(m+11)%12] {
			return m, true
		}
	}
	return 0, any
}

// settle finds the vapour pressure line of a month and, with a variable
// retarder, the s_d that agrees with the humidity on its two faces. It returns
// that s_d.
func (v *Solver) settle(p *Profile, m *Month) float64 {
	v.haveP = false
	if p.Retarder == 0 {
		v.line(p, m)
		return 0
	}
	sd := p.S[p.Retarder] - p.S[p.Retarder-1]
	// Log-damped fixed point: the curve falls with humidity and the humidity
	// falls with s_d, so the undamped iteration can swing between two values.
	for range 40 {
		v.setRetarder(p, sd)
		v.line(p, m)
		want := material.SdAt(p.curve, (v.rh(p, m, p.Retarder-1)+v.rh(p, m, p.Retarder))/2)
		if math.Abs(want-sd) < 0.005*sd {
			break
		}
		sd = math.Sqrt(sd * want)
	}
	return sd
}

func (v *Solver) setRetarder(p *Profile, sd float64) {
	shift := v.s[p.Retarder-1] + sd - v.s[p.Retarder]
	for i := p.Retarder; i < p.N; i++ {
		v.s[i] += shift
	}
}

// line fills corner with the bends of the vapour pressure line.
func (v *Solver) line(p *Profile, m *Month) {
	last := p.N - 1
	if v.wet == 0 && v.clearOfSaturation(p, m) {
		v.corner[0], v.corner[1], v.n = 0, last, 2
		return
	}
	v.saturate(p, m)
	v.corner[0], v.n = 0, 1
	for i := 1; i <= last; i++ {
		for v.n > 1 && v.held[v.corner[v.n-1]] == 0 && !v.bendsUp(m, v.corner[v.n-2], v.corner[v.n-1], i, last) {
			v.n--
		}
		v.corner[v.n] = i
		v.n++
	}
}

// clearOfSaturation says whether the straight line stays below saturation
// everywhere, judged layer by layer from the colder end, which is enough
// because temperature and line are both monotone: most months of most walls
// are settled here with a handful of exponentials.
func (v *Solver) clearOfSaturation(p *Profile, m *Month) bool {
	coldest := air.Psat(min(p.Theta(0, m), p.Theta(p.N-1, m)))
	if max(m.Pe, m.Pi) <= coldest {
		return true
	}
	last := p.N - 1
	slope := (m.Pi - m.Pe) / v.s[last]
	for a := 0; a < last; {
		b := a + 1
		for b < last && p.Layer[b+1] == p.Layer[a+1] {
			b++
		}
		high := max(m.Pe+slope*v.s[a], m.Pe+slope*v.s[b])
		if high > air.Psat(min(p.Theta(a, m), p.Theta(b, m))) {
			return false
		}
		a = b
	}
	return true
}

func (v *Solver) saturate(p *Profile, m *Month) {
	if v.haveP {
		return
	}
	for i := range p.N {
		v.psat[i] = air.Psat(p.Theta(i, m))
	}
	v.haveP = true
}

// pressure is the vapour pressure the line takes at a corner: the air's at the
// two ends, saturation between.
func (v *Solver) pressure(m *Month, i, last int) float64 {
	switch i {
	case 0:
		return m.Pe
	case last:
		return m.Pi
	}
	return v.psat[i]
}

// bendsUp says whether node b lies strictly below the chord from a to c, so
// that the taut string keeps it.
func (v *Solver) bendsUp(m *Month, a, b, c, last int) bool {
	pa, pb, pc := v.pressure(m, a, last), v.pressure(m, b, last), v.pressure(m, c, last)
	return (pb-pa)*(v.s[c]-v.s[a]) < (pc-pa)*(v.s[b]-v.s[a])
}

// rh returns the relative humidity (0–1) at a node under the present line.
func (v *Solver) rh(p *Profile, m *Month, node int) float64 {
	last := p.N - 1
	k := 1
	for v.corner[k] < node {
		k++
	}
	a, b := v.corner[k-1], v.corner[k]
	pa, pb := v.pressure(m, a, last), v.pressure(m, b, last)
	pn := pb
	if v.s[b] > v.s[a] {
		pn = pa + (pb-pa)*(v.s[node]-v.s[a])/(v.s[b]-v.s[a])
	}
	if v.haveP {
		return min(pn/v.psat[node], 1)
	}
	return min(pn/air.Psat(p.Theta(node, m)), 1)
}

func (v *Solver) sample(p *Profile, m *Month, month int, c *Condensation) {
	c.MarkRH[month] = v.rh(p, m, p.Mark)
	c.InnerRH[month] = v.rh(p, m, p.Inner)
	c.OuterRH[month] = v.rh(p, m, p.Outer)
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
			if g := v.gain(m, k, p.N-1); g < 0 {
				step = min(step, v.held[i]/-g)
			}
		}
		for k := 1; k < v.n-1; k++ {
			v.deposit(k, v.gain(m, k, p.N-1), step, c)
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
func (v *Solver) gain(m *Month, k, last int) float64 {
	a, b, c := v.corner[k-1], v.corner[k], v.corner[k+1]
	pa, pb, pc := v.pressure(m, a, last), v.pressure(m, b, last), v.pressure(m, c, last)
	return air.DeltaStandard * ((pc-pb)/(v.s[c]-v.s[b]) - (pb-pa)/(v.s[b]-v.s[a]))
}

func (v *Solver) deposit(k int, g, step float64, c *Condensation) {
	i := v.corner[k]
	before := v.held[i]
	after := before + g*step
	if after <= 1e-12 {
		after = 0
	}
	v.held[i] = after
	switch {
	case before == 0 && after > 0:
		v.wet++
	case before > 0 && after == 0:
		v.wet--
	}
	if g > 0 {
		c.Condensed += g * step
	}
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

// Planes returns the nodes that hold condensate after the last Condense.
func (v *Solver) Planes(p *Profile) []int {
	var nodes []int
	for i := range p.N {
		if v.held[i] > 0 {
			nodes = append(nodes, i)
		}
	}
	return nodes
}

// HumidityAt returns the relative humidity (0–1) at a node under the vapour
// pressure line of the last month that Condense treated, which must be m.
func (v *Solver) HumidityAt(p *Profile, m *Month, node int) float64 { return v.rh(p, m, node) }
