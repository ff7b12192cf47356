package indicator

import "wallsift/model/rain"

// absorbed returns the water in kg/m² that the face takes up in a long
// driving-rain spell: all that falls, or what capillarity can draw in.
func absorbed(in *RainInput) float64 {
	return rain.Absorbed(in.Rain.Spell, in.Rain.SpellHours, in.Face.Aw)
}

// wetFront compares the depth a spell wets with the share of the masonry that
// may be wetted.
func wetFront(in *RainInput) Value {
	return value(rain.FrontDepth(absorbed(in), in.MasonryWf), in.Limits.WetFrontShare*in.Masonry, -1)
}
