package indicator

import "wallsift/model/rain"

// absorbed returns the water in kg/m² that the face takes up in a long
// driving-rain spell: all that falls, or what capillarity can draw in.
func absorbed(in *RainInput) float64 {
	return rain.Absorbed(in.Rain.Spell, in.Rain.SpellHours, in.Face.Aw)
}

// wetFront compares the depth a spell wets with the share of the masonry that
// may be wetted. A render that drinks more than the stone behind it holds the
// water itself: the masonry takes no more than its own A_w lets in.
func wetFront(in *RainInput) Value {
	reaches := rain.Absorbed(in.Rain.Spell, in.Rain.SpellHours, min(in.Face.Aw, in.MasonryAw))
	return value(rain.FrontDepth(reaches, in.MasonryWf), in.Limits.WetFrontShare*in.Masonry, -1)
}
