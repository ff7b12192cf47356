package transient

import (
	"fmt"
	"math"
)

// Parametric is the storage curve w(φ) = w_f·(b−1)·φ/(b−φ) (Künzel 1995), read
// as a function of suction through Kelvin's law at 20 °C.
type Parametric struct {
	Wf float64 // free saturation, kg/m³
	B  float64 // approximation factor, > 1
}

// NewParametric fits b so that the curve passes through w80 at 80 % RH. It
// needs 0 < w80 < 0.8·w_f; at or beyond that the curve would bend the wrong way.
func NewParametric(w80, wf float64) (Parametric, error) {
	if !(wf > 0 && w80 > 0 && w80 < 0.8*wf) {
		return Parametric{}, fmt.Errorf("transient: storage needs 0 < w80 < 0.8·w_f, got w80 = %g, w_f = %g kg/m³", w80, wf)
	}
	// w80 = wf(b−1)·0.8/(b−0.8) solved for b.
	return Parametric{Wf: wf, B: 0.8 * (wf - w80) / (0.8*wf - w80)}, nil
}

// Water implements Storage.
func (p Parametric) Water(s float64) (w, slope float64) {
	phi := math.Exp(-s / (rhoRv * kelvinRef))
	d := p.B - phi
	w = p.Wf * (p.B - 1) * phi / d
	dwdphi := p.Wf * (p.B - 1) * p.B / (d * d)
	return w, -dwdphi * phi / (rhoRv * kelvinRef)
}

// Free implements Storage.
func (p Parametric) Free() float64 { return p.Wf }

// StorageFunc is a storage curve given as a closure of suction.
type StorageFunc struct {
	F  func(s float64) (w, slope float64)
	Wf float64
}

// Water implements Storage.
func (f StorageFunc) Water(s float64) (w, slope float64) { return f.F(s) }

// Free implements Storage.
func (f StorageFunc) Free() float64 { return f.Wf }
