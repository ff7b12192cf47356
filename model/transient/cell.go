package transient

import (
	"math"

	"wallsift/model/air"
)

// pair is a value for each of the two unknowns or balances of a cell.
type pair struct{ t, u float64 }

// dual is a value with its derivatives in temperature and u.
type dual struct{ v, t, u float64 }

// cell holds what the balances need of one cell at one iterate: values and
// their derivatives in temperature (T) and in u (U).
type cell struct {
	w, wU           float64 // water content, kg/m³
	h, hT, hU       float64 // enthalpy, J/m³
	psi, psiU       float64 // Kirchhoff potential, kg/(m·s)
	liq, liqT, liqU float64 // unfrozen share of the water
	p, pT, pU       float64 // vapour pressure, Pa
	del, delT, delU float64 // vapour permeability, kg/(m·s·Pa)
	lam, lamU       float64 // thermal conductivity, W/(m·K)
}

// properties evaluates cells, all of material t, at iterate x.
func (t *Compiled) properties(cells []cell, x []pair, wetting, noIce bool) {
	x = x[:len(cells)]
	for i := range cells {
		c := &cells[i]
		th, u := x[i].t, x[i].u
		g, q := t.locate(u)
		w, wU := poly(&g.w, q)
		sg, sgU := poly(&g.sigma, q)
		wU *= uStepInv
		c.w, c.wU = w, wU
		c.psi, c.psiU = g.potential(q, wetting)
		c.lam, c.lamU = t.lam0+t.lamW*w, t.lamW*wU
		// Vapour: p = p_sat(θ)·exp(−σ/T) in one exponential, taken below.
		rT := 1 / (th + air.KelvinOffset)
		e, eT := psatExponent(th)
		sr := sg * rT
		c.p, c.pT, c.pU = e-sr, eT+sr*rT, -sgU*uStepInv*rT
		dth := th - 10
		f := 1 + dth*(t.a1+dth*(t.a2+dth*t.a3))
		de := g.delta[0] + q*g.delta[1]
		c.del, c.delT, c.delU = de*f, de*(t.a1+dth*(2*t.a2+dth*3*t.a3)), g.delta[1]*uStepInv*f
		c.h, c.hT, c.hU = th*(t.dryHeat+waterHeat*w), t.dryHeat+waterHeat*w, waterHeat*th*wU
		c.liq, c.liqT, c.liqU = 1, 0, 0
		if th < 0 && !noIce {
			t.freeze(c, th)
		}
	}
	// A loop of its own: short enough for the processor to work on several
	// exponentials at a time.
	for i := range cells {
		c := &cells[i]
		p := 610.5 * exp(c.p)
		c.p = p
		c.pT *= p
		c.pU *= p
	}
}

// psatExponent is ln(p_sat/610.5) of ISO 13788 with its slope.
func psatExponent(th float64) (e, eT float64) {
	if th >= 0 {
		d := 1 / (237.3 + th)
		return 17.269 * th * d, 17.269 * 237.3 * d * d
	}
	d := 1 / (265.5 + th)
	return 21.875 * th * d, 21.875 * 265.5 * d * d
}

// faceAir is the air at a face of known temperature: 1/T, and ln(p_sat/610.5) with
// its slope.
type faceAir struct{ r, e, eT float64 }

func airAt(th float64) faceAir {
	e, eT := psatExponent(th)
	return faceAir{1 / (th + air.KelvinOffset), e, eT}
}

// at evaluates Kelvin's law, Pa, in a segment of a table. Any table does: suction
// is common to all materials.
func (f *faceAir) at(g *segment, q float64) dual {
	s, d := poly(&g.sigma, q)
	p := 610.5 * exp(f.e-s*f.r)
	return dual{p, p * (f.eT + s*f.r*f.r), -p * d * uStepInv * f.r}
}

// dry is 1/p_sat.
func (f *faceAir) dry() float64 { return 1 / (610.5 * exp(f.e)) }

// humidity turns vapour pressure into relative humidity; dry is 1/p_sat.
func (f *faceAir) humidity(p *dual, dry float64) dual {
	rh := p.v * dry
	return dual{rh, p.t*dry - rh*f.eT, p.u * dry}
}

// sigma returns the suction over ρ·R_v at state u, K.
func (t *Compiled) sigma(u float64) float64 {
	g, q := t.locate(u)
	s, _ := poly(&g.sigma, q)
	return s
}

// relativeHumidity returns φ (0–1) at state x.
func relativeHumidity(t *Compiled, x pair) float64 {
	return exp(-t.sigma(x.u) / (x.t + air.KelvinOffset))
}

// freeFreeze is the range below 0 °C, K, over which water beyond free
// saturation, which no suction holds, freezes instead of at once.
const freeFreeze = 0.2

// freeze adds the ice at th < 0 °C: what the pores hold beyond the content that stays
// liquid at the suction ice exerts (retention curve + Clapeyron).
func (t *Compiled) freeze(c *cell, th float64) {
	var ice, iceT, iceW float64 // kg/m³, and its derivatives in th and w
	held := c.w
	if c.w > t.wf {
		held = t.wf
		f, fT := -th/freeFreeze, -1/freeFreeze
		if f > 1 {
			f, fT = 1, 0
		}
		ice, iceT, iceW = f*(c.w-t.wf), fT*(c.w-t.wf), f
	}
	if un, unT := t.unfrozen(th); held > un {
		ice += held - un
		iceT -= unT
		if c.w <= t.wf {
			iceW = 1
		}
	}
	if ice <= 0 {
		return
	}
	iceU := iceW * c.wU
	c.h -= fusionHeat * ice
	c.hT -= fusionHeat * iceT
	c.hU -= fusionHeat * iceU
	r := 1 / c.w
	share := ice * r
	c.liq = 1 - share
	c.liqT, c.liqU = -iceT*r, -(iceU-share*c.wU)*r
}

// Ice begins where the suction it exerts exceeds that of the pore water. There
// the heat capacity of a wet cell jumps by an order of magnitude, and Newton's
// method started on one branch lands far out on the other and swings for ever.
// So an iterate that crosses the onset is stopped just beyond it, where the
// slope of the new branch is known.

// crosses reports whether the pending Newton correction takes cell i over the
// onset of ice, and returns the temperature just beyond that.
func (s *Solver) crosses(i int) (beyond float64, yes bool) {
	const hair = 2e-3 // K, well above what the two tables differ by
	if s.opt.NoIce {
		return 0, false
	}
	d := s.sys.r[i]
	on := -s.tableOf(i).sigma(s.it[i].u+clamp(d.u, maxDeltaU)) * rhoRv / freezeSuction // °C
	yes = s.it[i].t+clamp(d.t, maxDeltaT) < on
	if s.cells[i].liq < 1 {
		return on + hair, !yes
	}
	return on - hair, yes
}

// invPsat[k] is 1/p_sat at k−60 °C: error weights need no better.
var invPsat = func() (v [161]float64) {
	for k := range v {
		v[k] = 1 / air.Psat(float64(k-60))
	}
	return v
}()

func invPsatNear(theta float64) float64 {
	return invPsat[max(0, min(len(invPsat)-1, int(theta+60.5)))]
}

// expTable[j] = 2^(j/64).
var expTable = func() (v [64]float64) {
	for j := range v {
		v[j] = math.Exp2(float64(j) / 64)
	}
	return v
}()

// exp is e^x to about 1e-13 for |x| < 700, which is beyond what any suction and
// temperature make of it. math.Exp takes three times as long.
func exp(x float64) float64 {
	const (
		k     = 64 / math.Ln2
		round = 3 << 51 // adding it leaves the nearest integer in the low bits
	)
	if x < -700 || x > 700 {
		return math.Exp(x)
	}
	t := x*k + round
	n := int(int32(math.Float64bits(t)))
	r := x - (t-round)*(1/k)
	return (1 + r*(1+r*(0.5+r*(1.0/6+r*(1.0/24))))) * expTable[n&63] * math.Float64frombits(uint64(1023+n>>6)<<52)
}

// clamp holds v between −lim and lim.
func clamp(v, lim float64) float64 { return max(-lim, min(v, lim)) }

func abs(v float64) float64 { return math.Abs(v) }
