package indicator

// airLeakWetting is the water in kg/m²a that air leaks bring into a wall
// however well it is built. Source: DIN 68800-2 (drying reserve of walls,
// 100 g/m²a), from memory.
const airLeakWetting = 0.1

// dryingReserve compares the water that comes to the critical plane in a year
// with what the plane could give off. The plane is the face of the masonry
// that the insulation covers.
func dryingReserve(in *RainInput) Value {
	wetting := airLeakWetting + in.Limits.LeakShare*in.Rain.Annual + in.Heat.Condensed
	return value(wetting, in.Heat.Drying, -1)
}
