package steady

import (
	"math"

	"wallsift/model/material"
)

// sdTable is a variable retarder's curve on a fine grid of humidity, so that
// the fixed point needs no power function. It is remade only when the curve
// changes.
type sdTable struct {
	of *material.SdPoint // first point of the curve it was made from
	sd [sdPoints + 1]float64
}

const sdPoints = 1000

// dry readies the table for a profile, and returns the s_d in m of its retarder at the
// dry end, 0 without one.
func (v *Solver) dry(p *Profile) float64 {
	if p.Retarder == 0 {
		return 0
	}
	if t := &v.curve; t.of != &p.curve[0] {
		t.of = &p.curve[0]
		for i := range t.sd {
			t.sd[i] = material.SdAt(p.curve, float64(i)/sdPoints)
		}
	}
	return p.S[p.Retarder] - p.S[p.Retarder-1]
}

// settle returns the s_d in m that agrees with the humidity (0–1) it makes, from a
// guess: a log-damped fixed point, since the curve falls with humidity and the
// humidity falls with s_d, so that the undamped iteration can swing between two values.
func (t *sdTable) settle(sd float64, humidity func(sd float64) float64) float64 {
	for range 40 {
		want := t.at(humidity(sd))
		if math.Abs(want-sd) < 0.005*sd {
			break
		}
		sd = math.Sqrt(sd * want)
	}
	return sd
}

// at returns the s_d in m at a mean humidity of 0–1.
func (t *sdTable) at(rh float64) float64 {
	x := rh * sdPoints
	i := min(max(int(x), 0), sdPoints-1)
	return t.sd[i] + (x-float64(i))*(t.sd[i+1]-t.sd[i])
}
