package indicator

import "math"

// absorbed returns the water in kg/m² that the face takes up in a long
// driving-rain spell: all that falls, or what capillarity can draw in.
func absorbed(in *Input) float64 {
	return min(in.Rain.Spell, in.Wall.Face.Aw*math.Sqrt(in.Rain.SpellHours*3600))
}

// wetFront compares the depth a spell wets with the share of the masonry that
// may be wetted.
func wetFront(in *Input) Value {
	masonry := in.Wall.Layers[in.Wall.Masonry].Thickness
	return value(absorbed(in)/in.Wall.Face.Wf, in.Limits.WetFrontShare*masonry, -1)
}
