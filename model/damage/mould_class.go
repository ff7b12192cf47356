package damage

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
