package indicator

import "wallsift/model/steady"

// airLeakWetting is the water in kg/m²a that air leaks bring into a wall
// however well it is built. Source: DIN 68800-2 (drying reserve of walls,
// 100 g/m²a), from memory.
const airLeakWetting = 0.1

// dryingReserve compares the water that comes to the critical plane in a year
// with what the plane could give off. The plane is the face of the masonry
// that the insulation covers.
func dryingReserve(in *Input, p *steady.Profile, c *steady.Condensation) Value {
	node := p.Inner
	if in.Exterior {
		node = p.Outer
	}
	wetting := airLeakWetting + in.Limits.LeakShare*in.Rain.Annual + c.Condensed
	return value(wetting, steady.DryingCapacity(p, &in.Months, node), -1)
}
