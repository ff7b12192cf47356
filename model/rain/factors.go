package rain

import "math"

// Terrain is a roughness category of ISO 15927-3.
type Terrain uint8

// The categories.
const (
	TerrainI   Terrain = iota + 1 // rough open sea, lake shore with 5 km of water upwind, smooth flat country
	TerrainII                     // farm land with hedges, scattered small farms or trees
	TerrainIII                    // suburban or industrial areas, permanent forest
	TerrainIV                     // towns: at least 15 % built over, mean height above 15 m
)

// roughness of a category: K_R, z0 and z_min. Source: ISO 15927-3:2009 table 1,
// from memory.
var roughness = [...]struct{ kr, z0, zmin float64 }{
	TerrainI:   {0.17, 0.01, 2},
	TerrainII:  {0.19, 0.05, 4},
	TerrainIII: {0.22, 0.3, 8},
	TerrainIV:  {0.24, 1.0, 16},
}

// Roughness returns the terrain roughness coefficient C_R at height z (m) above
// ground. An unknown category acts as TerrainII. Source: ISO 15927-3:2009.
func Roughness(c Terrain, z float64) float64 {
	if c < TerrainI || c > TerrainIV {
		c = TerrainII
	}
	r := roughness[c]
	return r.kr * math.Log(max(z, r.zmin)/r.z0)
}

// obstructions: distance (m) of the nearest obstacle as high as the wall, up to
// which the factor holds. Source: ISO 15927-3:2009 table 2, from memory.
var obstructions = [...]struct{ upTo, factor float64 }{
	{8, 0.2}, {15, 0.3}, {25, 0.4}, {40, 0.5}, {60, 0.6}, {80, 0.7}, {100, 0.8}, {120, 0.9},
}

// Obstruction returns the obstruction factor O for the distance in m to the
// nearest obstacle. Below 4 m, where the standard is silent, it stays 0.2.
func Obstruction(distance float64) float64 {
	for _, o := range obstructions {
		if distance <= o.upTo {
			return o.factor
		}
	}
	return 1
}

// Topography returns C_T for the upwind slope (rise over run, ≥ 0) and the
// position factor s (0 at the foot, 1 at the crest). Source: ISO 15927-3:2009 as
// in EN 1991-1-4, from memory: 1 below 0.05, 1 + 2·s·slope to 0.3, 1 + 0.6·s above.
func Topography(slope, s float64) float64 {
	switch {
	case slope <= 0.05:
		return 1
	case slope <= 0.3:
		return 1 + 2*s*slope
	}
	return 1 + 0.6*s
}

// Wall factors W: share of the airfield rain that reaches the face.
// Source: ISO 15927-3:2009 table 3 and BS 8104 table 4, from memory.
const (
	WallGable        = 0.4 // two-storey gable, mean; 0.5 at its top
	WallEaves        = 0.3 // two storeys under a pitched roof with eaves, mean
	WallFlatRoof     = 0.4 // two storeys under a flat roof, pitch below 20°
	WallThreeStorey  = 0.3 // three-storey gable or face, mean; 0.5 at the top
	WallTallTop      = 0.5 // several storeys, flat roof: the top 2.5 m
	WallTallBelow    = 0.2 // several storeys, flat roof: below
	WallWideOverhang = 0.2 // under a pronounced overhang
)

// Exposure is the exposure word of an inventory.
type Exposure uint8

// The words.
const (
	Sheltered Exposure = iota + 1
	Moderate
	Severe
	VerySevere
)

// String returns the word as an inventory spells it.
func (e Exposure) String() string {
	switch e {
	case Sheltered:
		return "sheltered"
	case Moderate:
		return "moderate"
	case Severe:
		return "severe"
	case VerySevere:
		return "very_severe"
	}
	return "unknown"
}

// Site holds what surrounds a wall.
type Site struct {
	Terrain     Terrain
	Obstruction float64 // O, 0.2–1
	Topography  float64 // C_T, ≥ 0.8
}

// SiteFactors returns the site factors that an exposure word stands for: a town
// wall faced at street width; a suburb with a garden between; open farm land
// with the next obstacle far off; a shore or hill crest without any. The
// pairing is a screening choice of this tool, its numbers are those of the
// tables above. An unknown word acts as Moderate.
func SiteFactors(e Exposure) Site {
	switch e {
	case Sheltered:
		return Site{TerrainIV, Obstruction(15), 1}
	case Severe:
		return Site{TerrainII, Obstruction(100), 1}
	case VerySevere:
		return Site{TerrainI, Obstruction(200), Topography(0.1, 1)}
	}
	return Site{TerrainIII, Obstruction(40), 1}
}

// WallIndex returns the wall index I_WA in l/m²: airfield index (yearly or of a
// spell), site, height z (m) of the point on the wall, wall factor W.
// Source: ISO 15927-3:2009, I_WA = I_A·C_R·C_T·O·W.
func WallIndex(airfield float64, s Site, z, wall float64) float64 {
	return airfield * Roughness(s.Terrain, z) * s.Topography * s.Obstruction * wall
}

// SpellClass grades a wall spell index (l/m²) by the bounds 33, 56.5 and 100 of
// BS 8104 and United Kingdom guidance, from memory.
func SpellClass(spell float64) Exposure {
	switch {
	case spell < 33:
		return Sheltered
	case spell < 56.5:
		return Moderate
	case spell < 100:
		return Severe
	}
	return VerySevere
}
