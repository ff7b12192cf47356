package material

import "slices"

// Kinds lists the words a material's Kind may be. Stone, brick and composite
// rows can be an inventory's stone_type; a unit is a single block of a mix.
var Kinds = []string{"stone", "brick", "composite", "unit", "mortar", "plaster", "insulation", "board", "membrane", "air"}

// IsMasonry says whether a wall can be built of the material.
func (m *Material) IsMasonry() bool {
	return slices.Contains([]string{"stone", "brick", "composite"}, m.Kind)
}
