package transient

import "math"

// en15026 is the material of EN 15026:2007, annex A (as listed in the
// project's physics notes).
func en15026() Material {
	content := func(s float64) (float64, float64) {
		a := math.Pow(8e-8*s, 1.6)
		w := 146 / math.Pow(1+a, 0.375)
		return w, -146 * 0.375 * math.Pow(1+a, -1.375) * 1.6 * a / s
	}
	return Material{
		Name: "EN 15026 annex A", Density: 1824, HeatCapacity: 1000, Lambda: 1.5, LambdaMoisture: 0.0158 * 1824 / 1.5,
		Storage: storageFunc{F: content, Wf: 146},
		Liquid: liquidFunc(func(_, w, _ float64) float64 {
			x := w - 73
			return math.Exp(-39.2619 + 0.0704*x - 1.7420e-4*x*x - 2.7953e-6*x*x*x - 1.1566e-7*x*x*x*x + 2.5969e-9*x*x*x*x*x)
		}),
		Vapour: vapourFunc{N: -1, F: func(_, w float64) float64 {
			r := 1 - w/146
			return 1 / (461.5 * 283.15) * 26.1e-6 / 200 * r / (0.503*r*r + 0.497)
		}},
	}
}

const hamstadD = 6e-10 // m²/s

// hamstad2 is the material of HAMSTAD benchmark 2 (Hagentoft et al. 2004; values
// from memory). All transport is put into the liquid path: the case prescribes
// one constant moisture diffusivity and no heat coupling.
func hamstad2() Material {
	content := func(s float64) (float64, float64) {
		k := rhoRv * kelvinRef
		b := 1 + s/(0.118*k)
		return 116 / math.Pow(b, 0.869), -116 * 0.869 * math.Pow(b, -1.869) / (0.118 * k)
	}
	return Material{
		Name: "HAMSTAD 2", Density: 525, HeatCapacity: 800, Lambda: 0.15,
		Storage: storageFunc{F: content, Wf: 116},
		Liquid:  liquidFunc(func(_, _, slope float64) float64 { return -hamstadD * slope }),
		Vapour:  vapourFunc{F: func(_, _ float64) float64 { return 1e-25 }},
	}
}

// plainDry conducts heat only: no capillarity, next to no sorption.
func plainDry(name string, lam, rho, c, mu float64) Material {
	return Material{Name: name, Density: rho, HeatCapacity: c, Lambda: lam, Storage: Parametric{Wf: 1e-3, B: 1.01}, Vapour: Mu{mu, mu}}
}

// storageFunc is a storage curve given as a closure of suction.
type storageFunc struct {
	F  func(s float64) (w, slope float64)
	Wf float64
}

// Water implements Storage.
func (f storageFunc) Water(s float64) (w, slope float64) { return f.F(s) }

// Free implements Storage.
func (f storageFunc) Free() float64 { return f.Wf }

// liquidFunc is a conductivity given as a closure, the same in wetting and
// redistribution.
type liquidFunc func(s, w, slope float64) float64

// Conductivity implements Liquid.
func (f liquidFunc) Conductivity(s, w, slope float64, _ bool) float64 { return f(s, w, slope) }

// vapourFunc is a vapour permeability given as a closure of (s, w) at 10 °C.
type vapourFunc struct {
	F func(s, w float64) float64
	N float64
}

// Permeability implements Vapour.
func (v vapourFunc) Permeability(s, w float64) float64 { return v.F(s, w) }

// Exponent implements Vapour.
func (v vapourFunc) Exponent() float64 { return v.N }
