package damage

import "math"

// Mould is the mould growth index at a surface, 0 (none) to 6 (dense all over);
// 1 shows under the microscope, 3 is the first growth that is seen. Set Class
// and Decline before the first hour.
//
// Growth by day: dM/dt = k1·k2/(7·t_m), with the weeks t_m to the first growth
// on pine, k1 of the class and k2 = max(0, 1 − exp(2.3·(M − M_max))). Where
// nothing can grow: −0.032 a day for the first 6 h, none until 24 h, −0.016 a
// day after, times Decline.
//
// Valid for 0–50 °C. Source: Hukka & Viitanen (1999); Ojanen et al. (2010);
// limit of 3 in ASHRAE 160, all from memory.
//
// More humidity can lower the index: an hour of growth too short to count
// starts the steeper fall of the first six dry hours anew. The published model
// has it so.
type Mould struct {
	Class   MouldClass
	Decline float64 // 0–1, against pine; see DeclineLow

	watch watch
	m     float64
	dry   int // hours since something could grow
}

const (
	k2Slope      = 2.3
	declineFirst = 0.032 / 24 // per hour
	declineLater = 0.016 / 24
)

// Hours takes n hours of one temperature (°C) and relative humidity (0–1).
func (m *Mould) Hours(hour, n int, theta, rh float64) {
	if !m.watch.take(hour, n, celsius(theta) && amount(rh)) {
		return
	}
	if m.Class.CriticalRH(theta) <= min(rh, 1) {
		m.dry = 0
		rate := 1 / (7 * 24 * firstGrowth(theta, rh)) // 1/h on pine sapwood without k2
		m.m = m.Class.grow(m.m, m.Class.MaxIndex(theta, rh), float64(n)*rate)
	} else {
		m.m = max(0, m.m-m.Decline*(declined(m.dry+n)-declined(m.dry)))
		m.dry += n
	}
	m.watch.rise(m.m, hour, false)
}

// Index returns the index now; NaN after an unusable hour.
func (m *Mould) Index() float64 {
	if m.watch.bad > 0 {
		return math.NaN()
	}
	return m.m
}

// Peak returns the highest index since the start.
func (m *Mould) Peak() Peak {
	c := &m.Class
	return m.watch.peak(amount(m.Decline) && c.K1Below > 0 && c.K1Above > 0 && c.RHMin > 0 && c.RHMin <= 1 &&
		finite(c.K1Below+c.K1Above) && finite(c.A+c.B+c.C))
}

// firstGrowth returns t_m, the weeks until the index is 1 on sawn pine sapwood, the
// wood on which it grows fastest. theta above 0 °C, rh above 0. Source: Hukka & Viitanen (1999), equation 2.
func firstGrowth(theta, rh float64) float64 {
	return math.Exp(-0.68*math.Log(theta) - 13.9*math.Log(100*min(rh, 1)) + 66.02)
}

// grow returns the index after growth from m towards top by rate, what pine sapwood
// would grow without k2. It is solved, not stepped: see rise.
func (c *MouldClass) grow(m, top, rate float64) float64 {
	if m >= top {
		return m
	}
	if m < 1 {
		next := rise(m, top, c.K1Below*rate)
		if next <= 1 {
			return next
		}
		// The rest of the time, at the rate from 1 on.
		rate *= 1 - timeTo(m, 1, top)/(c.K1Below*rate)
		m = 1
	}
	return rise(m, top, c.K1Above*rate)
}

// rise solves dM/ds = 1 − exp(2.3·(M − top)) over a step s from m below top:
// M = m + s − ln(1 + exp(2.3·(m − top))·(exp(2.3·s) − 1))/2.3.
func rise(m, top, s float64) float64 {
	up := s - math.Log1p(math.Exp(k2Slope*(m-top))*math.Expm1(k2Slope*s))/k2Slope
	return min(max(m, m+up), top)
}

// timeTo is the step s in which rise comes from m to the index to, below top.
func timeTo(m, to, top float64) float64 {
	return to - m - math.Log((1-math.Exp(k2Slope*(to-top)))/(1-math.Exp(k2Slope*(m-top))))/k2Slope
}

// declined is the fall over so many hours in which nothing could grow.
func declined(dry int) float64 {
	return declineFirst*float64(min(dry, 6)) + declineLater*float64(max(0, dry-24))
}

// MouldClass is how readily mould grows on a kind of surface.
type MouldClass struct {
	K1Below, K1Above float64 // growth against pine sapwood, index below 1 and from 1 on
	A, B, C          float64 // largest index: A + B·x − C·x²
	RHMin            float64 // 0–1, below which nothing grows at any temperature
}

// The classes of Ojanen et al. (2010), Mold growth modeling of building
// structures using sensitivity classes of materials, from memory.
var (
	// Sensitive is glued wooden boards, paper-faced products, spruce.
	Sensitive = MouldClass{K1Below: 0.578, K1Above: 0.386, A: 0.3, B: 6, C: 1, RHMin: 0.80}
	// MediumResistant is concrete, aerated concrete, glass wool, polyester wool.
	MediumResistant = MouldClass{K1Below: 0.072, K1Above: 0.097, A: 0, B: 5, C: 1.5, RHMin: 0.85}
)

// DeclineLow is how strongly the index falls in dry times, against pine, for
// Mould.Decline: the second lowest of 1, 0.5, 0.25 and 0.1. Source: Viitanen, Ojanen
// et al., from memory.
const DeclineLow = 0.25

// CriticalRH returns the relative humidity (0–1) from which mould grows at a
// temperature (°C), 1 at 0 °C. Outside 0–50 °C nothing grows and it is above 1.
// Source: Hukka & Viitanen (1999), A mathematical model of mould growth on
// wooden material, equation 1, from memory. The class's RHMin bounds the
// polynomial at every temperature, so that classes of 85 % have no step at 20 °C.
func (c *MouldClass) CriticalRH(theta float64) float64 {
	switch {
	case !(theta > 0 && theta <= 50):
		return 2
	case theta > 20:
		return c.RHMin
	}
	percent := 100 + theta*(-3.13+theta*(0.160-0.00267*theta))
	return max(percent/100, c.RHMin)
}

// MaxIndex returns the index that growth tends to in a lasting climate, 0 where
// nothing grows. Source: Hukka & Viitanen (1999), equation 5; Ojanen et al.
// (2010), from memory.
func (c *MouldClass) MaxIndex(theta, rh float64) float64 {
	crit := c.CriticalRH(theta)
	rh = min(rh, 1)
	if !(rh >= crit) {
		return 0
	}
	x := 1.0
	if crit < 1 {
		x = (rh - crit) / (1 - crit)
	}
	return max(0, c.A+x*(c.B-c.C*x))
}
