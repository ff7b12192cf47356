package transient

import (
	"wallsift/model/air"
)

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

// properties evaluates cells first…last−1, all of material t, at iterate x.
func (t *table) properties(cells []cell, x []pair, wetting, noIce bool) {
	x = x[:len(cells)]
	for i := range cells {
		c := &cells[i]
		th, u := x[i].t, x[i].u
		g, q := t.locate(u)
		w, wU := poly(&g.w, q)
		sg, sgU := poly(&g.sigma, q)
		pc := &g.redist
		if wetting {
			pc = &g.wetting
		}
		psi, psiU := poly(pc, q)
		wU *= uStepInv
		c.w, c.wU = w, wU
		c.psi, c.psiU = psi, psiU*uStepInv
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

// freeze adds the ice: what the pores hold beyond the content that stays
// liquid at the suction ice exerts at th (retention curve + Clapeyron). Water
// beyond free saturation, which no suction holds, freezes over freeFreeze below
// 0 °C instead of at once.
func (t *table) freeze(c *cell, th float64) {
	ice, iceT, iceU := t.iceAt(c.w, th)
	if ice <= 0 {
		return
	}
	iceU *= c.wU
	c.h -= fusionHeat * ice
	c.hT -= fusionHeat * iceT
	c.hU -= fusionHeat * iceU
	r := 1 / c.w
	share := ice * r
	c.liq = 1 - share
	c.liqT, c.liqU = -iceT*r, -(iceU-share*c.wU)*r
}

// freeFreeze is the range over which water beyond free saturation freezes, K.
const freeFreeze = 0.2

// iceAt returns the ice in kg/m³ at water content w and th < 0 °C, with its
// derivatives in th and w.
func (t *table) iceAt(w, th float64) (ice, dT, dw float64) {
	un, unT := t.unfrozen(th)
	held := w
	if w > t.wf {
		held = t.wf
		f, fT := -th/freeFreeze, -1/freeFreeze
		if f > 1 {
			f, fT = 1, 0
		}
		ice, dT, dw = f*(w-t.wf), fT*(w-t.wf), f
	}
	if held > un {
		ice += held - un
		dT -= unT
		if w <= t.wf {
			dw = 1
		}
	}
	return ice, dT, dw
}
