package indicator

var wetFront = measure{
	name: "wet_front", label: "depth of the wet front", unit: "m",
	judge: (*Workspace).wetFront,
	monthly: Info{
		Demand:  "depth that a long driving-rain spell wets",
		Limit:   "share of the masonry that may be wetted",
		Formula: "depth = min(spell, A_w sqrt(t)) / w_f",
		Source:  "sharp-front model of capillary uptake; limit common practice, no source",
	},
	hourly: Info{
		Demand:  "deepest place in the masonry that liquid water from rain on the face fills beyond the threshold",
		Limit:   "share of the masonry that may be wetted",
		Formula: "filling w/w_f and humidity beyond what damp air can give, reached from the face inward",
		Source:  "common practice, no source",
	},
}

// wetFront compares the depth a spell wets, with a sharp front behind which the
// masonry is full, with the share of it that may be wetted. A render that drinks more than the stone behind it holds the
// water itself: the masonry takes no more than its own A_w lets in.
func (in *Monthly) wetFront() Finding {
	reaches := in.Rain.Absorbed(min(in.Wall.Face.Aw, in.MasonryAw))
	masonry := in.Wall.Layers[in.Wall.Masonry].Thickness
	return Compare(reaches/in.MasonryWf, in.Limits.WetFrontShare*masonry, -1)
}
