package transient

import (
	"math"
	"math/cmplx"
	"testing"

	"wallsift/model/air"
)

type slab struct{ d, lam, rho, c, mu float64 }

var slabs = []slab{{0.02, 0.8, 1700, 850, 10}, {0.30, 0.7, 1700, 850, 12}, {0.10, 0.04, 60, 1030, 1}, {0.0125, 0.25, 900, 1000, 10}}

func slabWall(t *testing.T, ls []slab) Wall {
	var w Wall
	for _, l := range ls {
		w.Layers = append(w.Layers, Layer{Thickness: l.d, Material: compiled(t, plainDry("slab", l.lam, l.rho, l.c, l.mu))})
	}
	return w
}

// ISO 13786: periodic thermal transmittance Y12 of a dry wall from the product
// of the layers' heat transfer matrices, period 24 h, R_se 0.04, R_si 0.13.
func TestPeriodicTransmittanceMatchesISO13786(t *testing.T) {
	const rse, rsi, amp = 0.04, 0.13, 10.0
	type m2 [4]complex128
	mul := func(a, b m2) m2 {
		return m2{a[0]*b[0] + a[1]*b[2], a[0]*b[1] + a[1]*b[3], a[2]*b[0] + a[3]*b[2], a[2]*b[1] + a[3]*b[3]}
	}
	omega := 2 * math.Pi / 86400
	z := m2{1, complex(-rsi, 0), 0, 1}
	u := rse + rsi
	var layers []slab
	for i := len(slabs) - 1; i >= 0; i-- { // from inside to outside
		l := slabs[i]
		k := cmplx.Sqrt(complex(0, omega*l.rho*l.c/l.lam))
		kd := k * complex(l.d, 0)
		ch, sh := cmplx.Cosh(kd), cmplx.Sinh(kd)
		lk := complex(l.lam, 0) * k
		z = mul(m2{ch, -sh / lk, -lk * sh, ch}, z)
		u += l.d / l.lam
	}
	layers = slabs
	z = mul(m2{1, complex(-rse, 0), 0, 1}, z)
	y12 := -1 / z[1]
	u = 1 / u
	wantF, wantShift := cmplx.Abs(y12)/u, math.Mod(-cmplx.Phase(-1/z[1])/(2*math.Pi)*24+48, 24)

	for _, c := range []struct {
		o            Options
		limit, shift float64
	}{
		{Options{}, 0.1, 0.15}, // hourly steps damp a wave that fades to a tenth
		{Options{Tolerance: 0.05}, 0.03, 0.1},
		{Options{Cells: 160, MaxStep: 600, Tolerance: 0.1}, 0.005, 0.02},
	} {
		s, err := NewSolver(slabWall(t, layers), c.o)
		if err != nil {
			t.Fatal(err)
		}
		out, in := make([]Edge, 24), make([]Edge, 24)
		for k := range out {
			out[k] = Edge{Theta: amp * math.Cos(omega*3600*(float64(k)+0.5)), H: 1 / rse}
			in[k] = Edge{Theta: 0, H: 1 / rsi}
		}
		d := edgeDrive(out, in)
		s.SetUniform(0.001, 0.5)
		if r := s.Run(d, 24*60, nil); r.Err != nil {
			t.Fatal(r.Err)
		}
		// First harmonic of the hourly heat given to the room.
		var h complex128
		last := 0.0
		s.Run(d, 24, func(v *Solver) {
			now := -v.Flows().HeatIn
			h += complex((now-last)/3600, 0) * cmplx.Exp(complex(0, -omega*3600*(float64((v.Hour-1)%24)+0.5))) / 12
			last = now
		})
		// Linear interpolation between hours damps the forcing by sinc², the hourly
		// mean of the flow by sinc.
		x := math.Pi / 24
		sinc := math.Sin(x) / x
		gotF := cmplx.Abs(h) / (sinc * sinc * sinc) / (u * amp)
		gotShift := math.Mod(-cmplx.Phase(h)/(2*math.Pi)*24+48, 24)
		t.Logf("%d cells, steps to %g s: decrement %.5f (ISO 13786 %.5f), time shift %.3f h (%.3f h)", s.n, s.opt.MaxStep, gotF, wantF, gotShift, wantShift)
		if math.Abs(gotF/wantF-1) > c.limit || math.Abs(gotShift-wantShift) > c.shift {
			t.Errorf("decrement %.5f, shift %.3f h; ISO 13786 %.5f, %.3f h", gotF, gotShift, wantF, wantShift)
		}
	}
}

// Steady limit: heat flow by the U-value of ISO 6946, vapour pressures on the
// straight line over s_d of ISO 13788 (no condensation in this case).
func TestSteadyLimits(t *testing.T) {
	ls := []slab{{0.30, 0.7, 1700, 850, 12}, {0.10, 0.04, 60, 1030, 30}, {0.0125, 0.25, 900, 1000, 400}}
	s, err := NewSolver(slabWall(t, ls), Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := Edge{Theta: -5, P: 0.8 * air.Psat(-5), H: 25, Beta: 1e-7}
	in := Edge{Theta: 20, P: 0.4 * air.Psat(20), H: 1 / 0.13, Beta: 2.5e-8}
	s.SetUniform(8, 0.5)
	d := constantDrive(out, in)
	if r := s.Run(d, 2000, nil); r.Err != nil {
		t.Fatal(r.Err)
	}
	r := s.Run(d, 1, nil)
	u := 0.04 + 0.13
	for _, l := range ls {
		u += l.d / l.lam
	}
	u = 1 / u
	// Enthalpy flow less that of the vapour is conduction.
	g := r.Flows.VapourIn / 3600
	q := r.Flows.HeatIn/3600 - g*latentHeat
	t.Logf("U %.5f, ISO 6946 %.5f", q/25, u)
	if math.Abs(q/25/u-1) > 1e-3 {
		t.Errorf("U = %.5f, ISO 6946 %.5f", q/25, u)
	}
	v := s
	// s_d on the permeability the engine uses, which varies with temperature.
	var z, zi float64
	rs := make([]float64, v.Cells())
	z = 1 / out.Beta
	for i := range rs {
		del := air.Permeability(v.x[i].t, air.StandardPressure) / ls[v.layer[i]].mu
		rs[i] = z + s.dx[i]/2/del
		z += s.dx[i] / del
	}
	z += 1 / in.Beta
	for i := range rs {
		zi = rs[i] / z
		want := out.P + (in.P-out.P)*zi
		if got := v.RH(i) * air.Psat(v.x[i].t); math.Abs(got-want) > 0.002*in.P {
			t.Errorf("cell %d: vapour pressure %.2f Pa, ISO 13788 line %.2f", i, got, want)
		}
	}
}
