package damage

import (
	"math"
	"testing"
)

// 1 °C of a face at 10 °C and 80 %, s_d 2 m inward and 5 m outward, a year by hand:
// p_sat 610.5·exp(172.69/247.3) = 1227.3 Pa, so 2e-10·1227.3·0.2·0.7·31.536e6 =
// 1.0837 kg/m²a; half a year of a wet face halves it.
func TestDryingReserveByHand(t *testing.T) {
	var dry, half DryingReserve
	for h := range HoursPerYear {
		dry.Hours(h, 1, 10, 0.8, 2, 5)
		rh := 0.8
		if h < HoursPerYear/2 {
			rh = 1.001
		}
		half.Hours(h, 1, 10, rh, 2, 5)
	}
	if r := dry.Reserve().Value; !near(r, 1.0837, 2e-4) || !near(half.Reserve().Value, r/2, 1e-9) {
		t.Errorf("%v and %v", r, half.Reserve().Value)
	}
}

// fills makes places of 100 mm; the face is where rain gets in.
func fills(list ...float64) []Place {
	out := make([]Place, len(list))
	for i, x := range list {
		out[i] = Place{Depth: 0.1*float64(i) + 0.05, Filling: x, RH: 1, Rain: i == 0}
	}
	return out
}

// Places of 100 mm in 400 mm, bound 0.8. From 0.9 at 150 mm to 0.5 at 250 mm the
// line crosses at 150 + 100·0.1/0.4 = 175 mm.
func TestRainFrontByHand(t *testing.T) {
	for _, c := range []struct {
		name  string
		hours [][]Place
		depth float64
		hour  int
	}{
		{"dry", [][]Place{fills(0.7, 0.3, 0.2, 0.2)}, 0, -1},
		{"at the face", [][]Place{fills(1, 0.6, 0.2, 0.2)}, 0.10, 0},
		{"between places", [][]Place{fills(1, 0.9, 0.5, 0.2)}, 0.175, 0},
		{"the face dries after", [][]Place{fills(1, 0.9, 0.7, 0.2), fills(0.4, 0.9, 0.5, 0.2)}, 0.2, 0},
		{"goes on behind a dry face", [][]Place{fills(1, 0.9, 0.4, 0.2), fills(0.4, 0.9, 0.9, 0.2)}, 0.25 + 0.1/7, 1},
		{"through", [][]Place{fills(1, 1, 1, 0.8)}, 0.4, 0},
		{"wet from inside alone", [][]Place{fills(0.3, 0.3, 1, 1)}, 0, -1},
	} {
		r := RainFront{Filling: 0.8}
		for h, p := range c.hours {
			r.Hours(h, 1, true, p)
		}
		r.Hours(len(c.hours), 1, false, fills(0, 0, 0, 0))
		if p := r.Peak(); !near(p.Value, c.depth, 1e-12) || p.Hour != c.hour {
			t.Errorf("%s: %+v, by hand %v in hour %d", c.name, p, c.depth, c.hour)
		}
	}
	// Damp air alone half fills dense stone, and a wall without rain stays dry.
	sorbed := RainFront{Filling: 0.5}
	damp := fills(0.6, 0.6, 0.6)
	for i := range damp {
		damp[i].RH = 0.97
	}
	sorbed.Hours(0, 1, true, damp)
	rainless := RainFront{Filling: 0.5}
	rainless.Hours(0, 1, false, fills(1, 1, 1))
	if sorbed.Peak().Value != 0 || rainless.Peak().Value != 0 {
		t.Errorf("sorbed %v, rainless %v", sorbed.Peak(), rainless.Peak())
	}
	for name, bad := range map[string][]Place{"no places": nil, "not rising": {{Depth: 0.1}, {Depth: 0.1}}, "negative": {{Depth: 0.1, Filling: -1}}, "not a number": {{Depth: math.NaN()}}} {
		r := RainFront{Filling: 0.8}
		r.Hours(7, 1, true, bad)
		if p := r.Peak(); !math.IsNaN(p.Value) || p.Hour != 7 {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

// A sharp front of √t uptake, A_w 0.05 over 9 h into w_f 150: 0.05·√32400/150 =
// 60 mm. Places of 5 mm find it within one of them.
func TestRainFrontFindsASharpFront(t *testing.T) {
	places := make([]Place, 80)
	r := RainFront{Filling: 0.9}
	for h := range 9 {
		front := 0.05 * math.Sqrt(3600*float64(h+1)) / 150
		for i := range places {
			places[i] = Place{Depth: 0.005 * (float64(i) + 0.5), Filling: min(max((front-0.005*float64(i))/0.005, 0.1), 1), RH: 1, Rain: i == 0}
		}
		r.Hours(h, 1, true, places)
	}
	if p := r.Peak(); !near(p.Value, 0.06, 0.005) || p.Hour != 8 {
		t.Errorf("%+v", p)
	}
}
