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

func (t *sdTable) use(curve []material.SdPoint) {
	if t.of == &curve[0] {
		return
	}
	t.of = &curve[0]
	for i := range t.sd {
		t.sd[i] = material.SdAt(curve, float64(i)/sdPoints)
	}
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
