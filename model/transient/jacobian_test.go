package transient

import (
	"math"
	"math/rand"
	"testing"
)

// The analytic Jacobian against central differences of the residual, on random
// states that touch freezing, rain, the retarder and every interface.
func TestJacobianMatchesDifferences(t *testing.T) {
	defer func(v float64) { faceAccuracy = v }(faceAccuracy)
	faceAccuracy = 1e-7
	w := retrofitWall(t)
	w.Layers[2].AirChange = 2
	w.Layers[2].Drained = true
	s, err := NewSolver(w, Options{Cells: 16})
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewSource(1))
	f := hour{out: Edge{Theta: 5, P: 700, H: 15, Beta: 1e-7, Gain: 50, Rain: 1e-5}, in: Edge{Theta: 20, P: 1200, H: 8, Beta: 2.5e-8}}
	d := &Drive{}
	const dt = 600
	for trial := 0; trial < 40; trial++ {
		for i := range s.it {
			s.it[i] = pair{-8 + 25*rng.Float64(), -0.5 + 6*rng.Float64()}
		}
		for i := range s.y {
			s.y[i], s.d[i] = pair{}, pair{}
		}
		res := func() []pair {
			s.evalProps(s.it, true)
			s.a0, s.a1 = 1.5, 0.5
			s.assemble(dt, &f, d, true)
			return append([]pair(nil), s.sys.r...)
		}
		res()
		lo, di, up := append([]mat2(nil), s.sys.lo...), append([]mat2(nil), s.sys.di...), append([]mat2(nil), s.sys.up...)
		for j := 0; j < s.n; j++ {
			for v := 0; v < 2; v++ {
				p := &s.it[j].t
				if v == 1 {
					p = &s.it[j].u
				}
				old, h := *p, 1e-6
				*p = old + h
				a := res()
				*p = old - h
				b := res()
				*p = old
				for i := max(0, j-1); i <= min(s.n-1, j+1); i++ {
					m := di[i]
					switch i {
					case j - 1:
						m = up[i]
					case j + 1:
						m = lo[i]
					}
					got, scaleT, scaleU := pair{m.tt, m.ut}, math.Abs(di[i].tt), math.Abs(di[i].ut)+0.03*math.Abs(di[i].uu)
					if v == 1 {
						got, scaleT, scaleU = pair{m.tu, m.uu}, math.Abs(di[i].tu)+1e-3*math.Abs(di[i].tt), math.Abs(di[i].uu)
					}
					want := pair{-(a[i].t - b[i].t) / (2 * h), -(a[i].u - b[i].u) / (2 * h)}
					if math.Abs(got.t-want.t) > 1e-4*scaleT || math.Abs(got.u-want.u) > 1e-4*scaleU {
						t.Errorf("trial %d row %d column %d unknown %d at %+v: analytic %+v, differences %+v", trial, i, j, v, s.it[j], got, want)
					}
				}
			}
		}
		if t.Failed() {
			return
		}
	}
}
