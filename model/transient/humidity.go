package transient

import (
	"wallsift/model/air"
)

// deltaAir is the permeability s_d values are turned into resistances with,
// kg/(m·s·Pa) (ISO 13788).
const deltaAir = air.DeltaStandard

// vapour is the vapour pressure at a face with its derivatives, and the
// relative humidity (0–1) with its own.
type vapour struct {
	p, pT, pU    float64
	rh, rhT, rhU float64
}

// faceAir is the air at a face of known temperature.
type faceAir struct{ r, ps, psT float64 }

func airAt(th float64) faceAir {
	e, eT := psatExponent(th)
	ps := 610.5 * exp(e)
	return faceAir{1 / (th + air.KelvinOffset), ps, ps * eT}
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

// at evaluates Kelvin's law at state u. Any table does: suction is common to all
// materials.
func (f *faceAir) at(t *table, u float64) (v vapour) {
	g, q := t.locate(u)
	s, d := poly(&g.sigma, q)
	v.rh = exp(-s * f.r)
	v.rhT, v.rhU = v.rh*s*f.r*f.r, -v.rh*d*uStepInv*f.r
	v.p = v.rh * f.ps
	v.pT, v.pU = f.ps*v.rhT+v.rh*f.psT, f.ps*v.rhU
	return v
}

// relativeHumidity returns φ (0–1) at state x.
func relativeHumidity(t *table, x pair) float64 {
	g, q := t.locate(x.u)
	s, _ := poly(&g.sigma, q)
	return exp(-s / (x.t + air.KelvinOffset))
}
