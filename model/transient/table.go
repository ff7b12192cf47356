package transient

import (
	"fmt"
	"math"

	"wallsift/model/air"
)

// The moisture unknown is u = asinh(s/suctionScale): logarithmic in suction
// where materials are dry, linear where they are wet, and defined past zero
// suction (overfilled pores). See README.md for why.
const (
	suctionScale = 1e5    // Pa
	uMin         = -12    // s ≈ −8e9 Pa: room for any amount of free water
	uMax         = 10.625 // s ≈ 2e9 Pa, φ ≈ 3e-7
	uStepInv     = 32     // u = 0 is a node: vapour pressure has a kink there
	uStep        = 1.0 / uStepInv
	tableCells   = 724
	iceFloor     = -40.0 // °C, lowest temperature of the freezing table
	iceCells     = 160
	iceStep      = -iceFloor / iceCells
	// freezeSuction is the suction that ice exerts on the unfrozen pore water
	// per kelvin below 0 °C (Clapeyron: ρ·L_f/T0), Pa/K.
	freezeSuction = waterDensity * fusionHeat / air.KelvinOffset
)

// segment holds the cubics of one interval in the local coordinate t = 0…1.
type segment struct {
	w       [4]float64 // water content, kg/m³
	wetting [4]float64 // Kirchhoff potential ∫K ds while the face is wetted, kg/(m·s)
	redist  [4]float64 // the same otherwise
	sigma   [4]float64 // s/(ρ·R_v), K; zero in overfilled pores: their vapour is saturated, no more
	delta   [2]float64 // vapour permeability at 10 °C, kg/(m·s·Pa)
}

// Compiled is a material made ready for the step loop. It is immutable; any
// number of walls and goroutines may share it.
type Compiled struct {
	Material
	seg        [tableCells]segment
	ice        [iceCells][4]float64 // unfrozen water w_u(θ) for θ < 0
	wf         float64
	dryHeat    float64 // ρ·c, J/(m³·K)
	lam0, lamW float64 // λ = lam0 + lamW·w
	a1, a2, a3 float64 // Taylor coefficients of (T/283.15)^n in θ−10
}

func uOfS(s float64) float64 { return math.Asinh(s / suctionScale) }

// gauss holds the points of the 2-point Gauss–Legendre rule on 0…1.
var gauss = [2]float64{0.21132486540518713, 0.7886751345948129}

// leastSuction, Pa, is where functions that end at zero suction are read for it.
const leastSuction = suctionScale * 1e-2

// node is what a material's functions say at one state.
type node struct {
	s, su       float64 // suction, Pa, and its slope in u
	w, wu       float64 // water content and its slope in u
	delta       float64 // vapour permeability at 10 °C
	wet, redist float64 // −dΨ/du while the face is wetted, and otherwise
}

// Compile checks a material and tabulates its functions (about a millisecond; do it
// once per material, not once per wall): piecewise cubics through exact values and
// slopes, so that the step loop calls no closure and no transcendental function but
// the exponential of the vapour pressure.
func Compile(m Material) (*Compiled, error) {
	if m.Storage == nil || m.Vapour == nil || !(m.Storage.Free() > 0) ||
		!(m.Density > 0 && m.HeatCapacity > 0 && m.Lambda > 0 && m.LambdaMoisture >= 0) {
		return nil, fmt.Errorf("transient: material %+v: density, heat capacity, λ and free saturation must be > 0, b_λ ≥ 0", m)
	}
	t := &Compiled{Material: m, wf: m.Storage.Free(), dryHeat: m.Density * m.HeatCapacity, lam0: m.Lambda,
		lamW: m.Lambda * m.LambdaMoisture / m.Density}
	n := m.Vapour.Exponent()
	t0 := 283.15
	t.a1, t.a2, t.a3 = n/t0, n*(n-1)/2/(t0*t0), n*(n-1)*(n-2)/6/(t0*t0*t0)
	// Past zero suction the storage curve goes on straight, conductivity and
	// permeability stay; a floor on the slope of the curve keeps the balance
	// solvable where it is flat.
	w0, slope0 := m.Storage.Water(leastSuction)
	at := func(u float64) (d node) {
		e := math.Exp(u)
		d.s, d.su = suctionScale*0.5*(e-1/e), suctionScale*0.5*(e+1/e)
		s, slope := max(d.s, 0), slope0
		if d.w = t.wf + slope0*d.s; s > 0 {
			d.w, slope = m.Storage.Water(s)
		}
		d.wu = math.Min(slope, -1e-12*t.wf/(1+math.Abs(d.s)/suctionScale)) * d.su
		d.delta = m.Vapour.Permeability(s, math.Min(d.w, t.wf))
		if m.Liquid != nil {
			w, k := w0, slope0
			if s >= leastSuction {
				w, k = d.w, slope
			}
			d.wet, d.redist = m.Liquid.Conductivity(s, w, k, true)*d.su, m.Liquid.Conductivity(s, w, k, false)*d.su
		}
		return d
	}
	b := at(uMax)
	var wetting, redist float64
	for k := tableCells - 1; k >= 0; k-- {
		ua := uMin + float64(k)*uStep
		a := at(ua)
		g := &t.seg[k]
		g.w = hermite(a.w, b.w, a.wu*uStep, b.wu*uStep)
		if ua >= 0 {
			g.sigma = hermite(a.s/rhoRv, b.s/rhoRv, a.su/rhoRv*uStep, b.su/rhoRv*uStep)
		}
		wb, rb := wetting, redist
		for _, x := range gauss {
			q := at(ua + x*uStep)
			wetting += 0.5 * uStep * q.wet
			redist += 0.5 * uStep * q.redist
		}
		g.wetting = hermite(wetting, wb, -a.wet*uStep, -b.wet*uStep)
		g.redist = hermite(redist, rb, -a.redist*uStep, -b.redist*uStep)
		g.delta = [2]float64{a.delta, b.delta - a.delta}
		b = a
	}
	unfrozen := func(theta float64) (w, d float64) {
		w, d = m.Storage.Water(math.Max(-freezeSuction*theta, leastSuction))
		return w, -d * freezeSuction * iceStep
	}
	wa, da := unfrozen(iceFloor)
	for k := range t.ice {
		wb, db := unfrozen(iceFloor + float64(k+1)*iceStep)
		t.ice[k] = hermite(wa, wb, da, db)
		wa, da = wb, db
	}
	return t, nil
}

// hermite returns the cubic c0 + c1·t + c2·t² + c3·t³ through the end values
// and end slopes (per unit t), its slopes cut back where they would break
// monotony (Fritsch and Carlson 1980).
func hermite(a, b, da, db float64) [4]float64 {
	d := b - a
	if d == 0 {
		da, db = 0, 0
	} else {
		p, q := da/d, db/d
		if p < 0 {
			da, p = 0, 0
		}
		if q < 0 {
			db, q = 0, 0
		}
		if r := p*p + q*q; r > 9 {
			f := 3 / math.Sqrt(r)
			da, db = f*da, f*db
		}
	}
	return [4]float64{a, da, 3*d - 2*da - db, da + db - 2*d}
}

// poly evaluates a segment's cubic and its slope per unit t.
func poly(c *[4]float64, t float64) (v, d float64) {
	v = c[0] + t*(c[1]+t*(c[2]+t*c[3]))
	d = c[1] + t*(2*c[2]+3*t*c[3])
	return v, d
}

// locate returns the segment and local coordinate of u, held to the table.
func (t *Compiled) locate(u float64) (*segment, float64) {
	x := (u - uMin) * uStepInv
	k := int(x)
	if k < 0 {
		k, x = 0, 0
	} else if k >= tableCells {
		k, x = tableCells-1, tableCells
	}
	return &t.seg[k], x - float64(k)
}

// potential returns the Kirchhoff potential and its slope dΨ/du.
func (g *segment) potential(x float64, wetting bool) (psi, slope float64) {
	c := &g.redist
	if wetting {
		c = &g.wetting
	}
	psi, slope = poly(c, x)
	return psi, slope * uStepInv
}

// Water returns the equilibrium water content in kg/m³ at relative humidity rh
// (0–1, read at 20 °C).
func (t *Compiled) Water(rh float64) float64 {
	g, x := t.locate(uOfS(Suction(rh, 20)))
	w, _ := poly(&g.w, x)
	return w
}

// unfrozen returns w_u and dw_u/dθ for theta < 0.
func (t *Compiled) unfrozen(theta float64) (w, d float64) {
	x := (theta - iceFloor) * (1 / iceStep)
	k := int(x)
	if x < 0 {
		k, x = 0, 0
	} else if k >= iceCells {
		k = iceCells - 1
	}
	w, d = poly(&t.ice[k], x-float64(k))
	return w, d * (1 / iceStep)
}
