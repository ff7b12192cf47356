package transient

import (
	"math"
	"math/rand"
	"testing"

	"wallsift/model/air"
)

// roughDrive is hourly noise worse than any climate: jumps of temperature, sun
// and humidity from hour to hour, cloudbursts, hard frost.
func roughDrive(t testing.TB, rng *rand.Rand, hours int) *Drive {
	out, in := make([]Edge, hours), make([]Edge, hours)
	for k := range out {
		th := 5 - 18*math.Cos(2*math.Pi*float64(k)/float64(hours)) + 8*rng.NormFloat64()
		th = math.Max(-38, math.Min(45, th))
		v := 10 * rng.Float64()
		out[k] = Edge{Theta: th, P: (0.1 + 0.9*rng.Float64()) * air.Psat(th), H: 4 + 4*v, Beta: lewis * (4 + 4*v)}
		if rng.Float64() < 0.3 {
			out[k].Gain = 700 * rng.Float64()
		} else {
			out[k].Gain = -60 * rng.Float64()
		}
		if rng.Float64() < 0.1 && th > 0 {
			out[k].Rain = 5 * math.Pow(rng.Float64(), 3) / 3600
		}
		in[k] = Edge{Theta: 20 + rng.NormFloat64(), H: 8, Beta: 2.5e-8}
		in[k].P = (0.3 + 0.6*rng.Float64()) * air.Psat(in[k].Theta)
	}
	return edgeDrive(out, in)
}

// Random walls of extreme materials in random rough weather must run, close
// their balances and stay finite.
func TestRoughWeatherRunsThrough(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	logu := func(a, b float64) float64 { return a * math.Pow(b/a, rng.Float64()) }
	var worst Counters
	trials := 12
	if raceOn {
		trials = 2
	}
	for trial := 0; trial < trials; trial++ {
		var w Wall
		for l := 1 + rng.Intn(5); l > 0; l-- {
			wf := logu(1, 600)
			mu := logu(1, 10000)
			m := porous("random", logu(20, 3000), logu(800, 2000), logu(0.02, 3), 10*rng.Float64(),
				wf*logu(0.005, 0.7), wf, 0, mu, mu*(0.3+0.7*rng.Float64()))
			if rng.Float64() < 0.7 {
				m.Liquid = CapillaryUptake{Aw: logu(5e-4, 0.5), Wf: wf}
			}
			layer := Layer{Thickness: logu(0.002, 0.6), Material: compiled(t, m)}
			switch rng.Intn(6) {
			case 0:
				layer.Contact = Interface{Sd: logu(0.01, 1500)}
			case 1:
				layer.Contact = Interface{Curve: []SdPoint{{0.4, 10}, {0.6, 5}, {0.9, 0.1}}}
			case 2:
				layer.Contact = Interface{CapillaryBreak: true, R: 0.18}
			}
			if rng.Intn(5) == 0 {
				layer.Drained, layer.AirChange = true, 10*rng.Float64()
			}
			w.Layers = append(w.Layers, layer)
		}
		deep := 0.0
		for _, l := range w.Layers {
			deep += l.Thickness
		}
		w.RainShare, w.RainDepth = 0.01, deep*rng.Float64()
		s, err := NewSolver(w, Options{})
		if err != nil {
			t.Fatal(err)
		}
		s.SetUniform(10, 0.5+0.49*rng.Float64())
		w0, h0 := s.booked()
		r := s.Run(roughDrive(t, rng, 2000), 2000, nil)
		if r.Err != nil {
			t.Errorf("trial %d: %v (%+v)", trial, r.Err, r.Counters)
			continue
		}
		w1, h1 := s.booked()
		if w, h := s.openBy(w1-w0, h1-h0); !(w < 1e-8 && h < 1e-8) {
			t.Errorf("trial %d: balance open by %.2g water, %.2g heat", trial, w, h)
		}
		if r.Flows.runOff() < -1e-6*(1+r.Flows.RainOffered) && r.Flows.RainFace > r.Flows.RainOffered {
			t.Errorf("trial %d: took %g of %g kg/m² rain", trial, r.Flows.RainFace, r.Flows.RainOffered)
		}
		for i := 0; i < s.n; i++ {
			v := s
			if th, rh := v.x[i].t, v.RH(i); !(th > -60 && th < 120 && rh > 0 && rh < 1.1) {
				t.Errorf("trial %d cell %d: %g °C, RH %g", trial, i, th, rh)
				break
			}
		}
		if r.Counters.Newton > worst.Newton {
			worst = r.Counters
		}
	}
	t.Logf("dearest run: %+v for 2000 hours", worst)
}
