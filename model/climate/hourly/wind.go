package hourly

import (
	"math"
)

const (
	// windShape of the Weibull distribution of hourly wind: 2, Rayleigh.
	windShape = 2.0
	// windHourly is the correlation of one hour with the next, from memory.
	windHourly = 0.93
	// windDaily: more wind by day than by night, as a share; a choice.
	windDaily = 0.15
	// rainyWind and roseKappa are those of package rain: it blows harder while it
	// rains, from a von Mises rose about the station's rain-bearing wind.
	rainyWind, roseKappa = 1.2, 1.0
	// dryKappa is the concentration of the wind without rain, and wander the
	// spread in degrees of an hour about the wind of its day; choices.
	dryKappa, wander = 0.3, 15.0
)

// wind fills Wind. Hours with rain have rainyWind times the month's mean, the
// others what is left, so that the month's mean is exact.
func (y *year) wind() {
	z := autoregressive(stream(y.seed, streamWind), HoursPerYear, windHourly)
	y.Wind = make([]float64, HoursPerYear)
	for k := range y.Wind {
		u := math.Pow(-math.Log(max(0.5*math.Erfc(z[k]/math.Sqrt2), 1e-300)), 1/windShape)
		y.Wind[k] = u * (1 + windDaily*math.Cos(2*math.Pi*(float64(k%24)+0.5-peak)/24))
	}
	for m := range 12 {
		from, to := span(m)
		var wet, dry []int
		for k := from; k < to; k++ {
			if y.Rain[k] > 0 {
				wet = append(wet, k)
			} else {
				dry = append(dry, k)
			}
		}
		share := float64(len(wet)) / float64(to-from)
		// In a month of rain without end the rest still has half the mean.
		inRain := rainyWind
		if share > 0 {
			inRain = min(rainyWind, (1-0.5*(1-share))/share)
		}
		scaleSome(y.Wind, wet, inRain)
		if len(dry) > 0 {
			scaleSome(y.Wind, dry, (1-inRain*share)/(1-share))
		}
		scaleTo(y.Wind[from:to], y.figures.Wind[m]*float64(to-from))
	}
}

// scaleSome multiplies some entries so that their mean is the given one.
func scaleSome(v []float64, which []int, want float64) {
	sum := 0.0
	for _, k := range which {
		sum += v[k]
	}
	for _, k := range which {
		v[k] *= want * float64(len(which)) / sum
	}
}

// direction fills WindFrom: one draw for the rain of a day, one for the rest of
// it, and a wander by the hour.
func (y *year) direction() {
	r := stream(y.seed, streamDirection)
	wet, dry := y.rainDirections(r), newRose(dryKappa).draw(r, days)
	y.WindFrom = make([]float64, HoursPerYear)
	for k := range y.WindFrom {
		from := dry[k/24]
		if y.Rain[k] > 0 {
			from = wet[k/24]
		}
		from = math.Mod(y.figures.RainFrom+from+wander*r.NormFloat64(), 360)
		if from < 0 {
			from += 360
		}
		y.WindFrom[k] = from
	}
}
