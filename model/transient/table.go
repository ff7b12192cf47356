package transient

import "math"

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
)

// segment holds the cubics of one interval in the local coordinate t = 0…1.
type segment struct {
	w       [4]float64 // water content, kg/m³
	wetting [4]float64 // Kirchhoff potential ∫K ds while the face is wetted, kg/(m·s)
	redist  [4]float64 // the same otherwise
	sigma   [4]float64 // s/(ρ·R_v), K; zero in overfilled pores: their vapour is saturated, no more
	delta   [2]float64 // vapour permeability at 10 °C, kg/(m·s·Pa)
}

// table is a material compiled for the step loop. It is immutable once built
// and may be shared by solvers in different goroutines.
type table struct {
	seg        [tableCells]segment
	ice        [iceCells][4]float64 // unfrozen water w_u(θ) for θ < 0
	wf         float64
	dryHeat    float64 // ρ·c, J/(m³·K)
	lam0, lamW float64 // λ = lam0 + lamW·w
	a1, a2, a3 float64 // Taylor coefficients of (T/283.15)^n in θ−10
}

func sOfU(u float64) float64 { return suctionScale * math.Sinh(u) }
func uOfS(s float64) float64 { return math.Asinh(s / suctionScale) }

// gauss holds the 4-point Gauss–Legendre rule on 0…1.
var gauss = [4][2]float64{
	{0.06943184420297371, 0.17392742256872693}, {0.33000947820757187, 0.32607257743127307},
	{0.6699905217924281, 0.32607257743127307}, {0.9305681557970262, 0.17392742256872693},
}

// compile tabulates a material: piecewise cubics through exact values and
// slopes, so that the step loop calls no closure and no transcendental
// function but the exponential of the vapour pressure.
func compile(m *Material) *table {
	t := &table{wf: m.Storage.Free(), dryHeat: m.Density * m.HeatCapacity, lam0: m.Lambda,
		lamW: m.Lambda * m.LambdaMoisture / m.Density}
	n := m.Vapour.Exponent()
	t0 := 283.15
	t.a1, t.a2, t.a3 = n/t0, n*(n-1)/2/(t0*t0), n*(n-1)*(n-2)/6/(t0*t0*t0)
	// Past zero suction the curve goes on straight; a floor on the slope keeps
	// the balance solvable where a curve is flat.
	_, slope0 := m.Storage.Water(suctionScale * 1e-2)
	water := func(u float64) (w, dwdu, slope float64) {
		s := sOfU(u)
		if s > 0 {
			w, slope = m.Storage.Water(s)
		} else {
			w, slope = t.wf+slope0*s, slope0
		}
		slope = math.Min(slope, -1e-12*t.wf/(1+math.Abs(s)/suctionScale))
		return w, slope * suctionScale * math.Cosh(u), slope
	}
	cond := func(u float64, wetting bool) float64 {
		if m.Liquid == nil {
			return 0
		}
		s := math.Max(sOfU(u), 0)
		w, slope := m.Storage.Water(math.Max(s, suctionScale*1e-2))
		return m.Liquid.Conductivity(s, w, slope, wetting) * suctionScale * math.Cosh(u)
	}
	perm := func(u float64) float64 {
		w, _, _ := water(u)
		return m.Vapour.Permeability(math.Max(sOfU(u), 0), math.Min(w, t.wf))
	}
	var psi [2]float64
	for k := tableCells - 1; k >= 0; k-- {
		ua, ub := uMin+float64(k)*uStep, uMin+float64(k+1)*uStep
		g := &t.seg[k]
		wa, da, _ := water(ua)
		wb, db, _ := water(ub)
		g.w = hermite(wa, wb, da*uStep, db*uStep)
		if ua >= 0 {
			g.sigma = hermite(sOfU(ua)/rhoRv, sOfU(ub)/rhoRv,
				suctionScale*math.Cosh(ua)/rhoRv*uStep, suctionScale*math.Cosh(ub)/rhoRv*uStep)
		}
		for j, dst := range []*[4]float64{&g.wetting, &g.redist} {
			var sum float64
			for _, q := range gauss {
				sum += q[1] * cond(ua+q[0]*uStep, j == 0)
			}
			pb := psi[j]
			psi[j] += sum * uStep
			*dst = hermite(psi[j], pb, -cond(ua, j == 0)*uStep, -cond(ub, j == 0)*uStep)
		}
		pa, pb := perm(ua), perm(ub)
		g.delta = [2]float64{pa, pb - pa}
	}
	unfrozen := func(theta float64) (w, d float64) {
		s := -freezeSuction * theta
		w, d = m.Storage.Water(math.Max(s, suctionScale*1e-2))
		return w, -d * freezeSuction
	}
	for k := range t.ice {
		a, b := iceFloor+float64(k)*iceStep, iceFloor+float64(k+1)*iceStep
		wa, da := unfrozen(a)
		wb, db := unfrozen(b)
		t.ice[k] = hermite(wa, wb, da*iceStep, db*iceStep)
	}
	return t
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
func (t *table) locate(u float64) (*segment, float64) {
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
func (t *table) potential(u float64, wetting bool) (psi, slope float64) {
	g, x := t.locate(u)
	c := &g.redist
	if wetting {
		c = &g.wetting
	}
	psi, slope = poly(c, x)
	return psi, slope * uStepInv
}

// water returns the water content at u.
func (t *table) water(u float64) float64 {
	g, x := t.locate(u)
	w, _ := poly(&g.w, x)
	return w
}

// unfrozen returns w_u and dw_u/dθ for theta < 0.
func (t *table) unfrozen(theta float64) (w, d float64) {
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
