package damage

import "math"

// TimberDecay is brown rot in pine sapwood: an activation that grows from 0 to 1
// while it is wet and mild, recovers slowly otherwise, and a loss of mass while
// it is 1. Embedded softwood is mostly less prone.
//
// From 0 °C and DecayRH, 95 %, relative humidity on (θ in °C, RH in %):
//
//	activation  dα = dt/t_crit, t_crit = 720 h · (2.3θ + 0.035RH − 0.024θRH)/(−42.9 + 0.14θ + 0.45RH)
//	mass loss   −0.0596 + 1.96e-4·θ + 6.25e-4·RH, % of the dry mass per hour
//
// and else dα = −dt/17520 h. Where t_crit has no positive value nothing is
// activated. Fitted from 0 to 30 °C; above, 30 °C is taken. Source: Viitanen et
// al. (2010), Towards modelling of decay risk of wooden materials, from memory.
type TimberDecay struct {
	watch watch
	alpha float64
	loss  float64 // 0–1
}

// Hours takes n hours of one temperature (°C) and relative humidity (0–1). Rot goes
// on from the hour that completes the activation.
func (d *TimberDecay) Hours(hour, n int, theta, rh float64) {
	if !d.watch.take(hour, n, celsius(theta) && amount(rh)) {
		return
	}
	hours := float64(n)
	if theta < 0 || rh < DecayRH {
		d.alpha = max(0, d.alpha-hours/recoveryHours)
		return
	}
	before := 0.0 // hours until the activation is complete, but for the one that completes it
	if need := activationHours(theta, rh); d.alpha < 1 {
		before = max(0, math.Ceil((1-d.alpha)*need-1e-9)-1)
		d.alpha = min(1, d.alpha+hours/need)
	}
	d.watch.rise(d.alpha, hour+n-1, false)
	if d.alpha == 1 {
		d.loss = min(1, d.loss+max(0, hours-before)*massLossRate(theta, rh))
	}
}

// MassLoss returns the share of the dry mass lost until now, 0–1; NaN after an
// unusable hour.
func (d *TimberDecay) MassLoss() float64 {
	if d.watch.bad > 0 {
		return math.NaN()
	}
	return d.loss
}

// Idle reports whether nothing has been activated yet.
func (d *TimberDecay) Idle() bool { return d.alpha == 0 && d.loss == 0 && d.watch.bad == 0 }

// Activation returns the highest activation since the start, 0–1. Rot begins
// at 1; below it no mass is lost.
func (d *TimberDecay) Activation() Peak { return d.watch.peak(true) }

// DecayRH is the relative humidity below which no rot starts.
const DecayRH = 0.95

const recoveryHours = 2.0 * HoursPerYear

// activationHours is t_crit, +Inf where it is not positive.
func activationHours(theta, rh float64) float64 {
	t, h := min(theta, 30), 100*min(rh, 1)
	speed := -42.9 + 0.14*t + 0.45*h
	if speed <= 0 {
		return math.Inf(1)
	}
	return 720 * (2.3*t + 0.035*h - 0.024*t*h) / speed
}

// massLossRate is the share of the dry mass lost in an hour, never negative.
func massLossRate(theta, rh float64) float64 {
	t, h := min(theta, 30), 100*min(rh, 1)
	return max(0, -5.96e-2+1.96e-4*t+6.25e-4*h) / 100
}
