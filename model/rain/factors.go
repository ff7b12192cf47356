// Package rain holds driving rain on a wall: an estimate of the airfield index of
// ISO 15927-3 from monthly normals, the wall index, and how much a face takes up. It
// refuses to know about heat or vapour.
//
// How exposure and station combine: the station gives the airfield index, what
// an open airfield there would catch; the exposure word of the inventory gives
// the factors of the site. Their product is the wall index.
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
// ground. Source: ISO 15927-3:2009.
func Roughness(c Terrain, z float64) float64 {
	r := roughness[c]
	return r.kr * math.Log(max(z, r.zmin)/r.z0)
}

// Wall factors W: share of the airfield rain that reaches the face.
// Source: ISO 15927-3:2009 table 3 and BS 8104 table 4, from memory.
const (
	WallGable = 0.4 // two-storey gable, mean; 0.5 at its top
	WallEaves = 0.3 // two storeys under a pitched roof with eaves, mean
)

// Site holds what surrounds a wall.
type Site struct {
	Terrain     Terrain
	Obstruction float64 // O, 0.2–1
	Topography  float64 // C_T, ≥ 0.8
}

// WallIndex returns the wall index I_WA in l/m²: airfield index (yearly or of a
// spell), site, height z (m) of the point on the wall, wall factor W.
// Source: ISO 15927-3:2009, I_WA = I_A·C_R·C_T·O·W.
func WallIndex(airfield float64, s Site, z, wall float64) float64 {
	return airfield * Roughness(s.Terrain, z) * s.Topography * s.Obstruction * wall
}

// Absorbed returns the water in kg/m² that a face takes up in the spell: all that
// falls on it, or what capillarity draws in over the rain hours, whichever is
// less. aw in kg/(m²·√s).
func (n *Normals) Absorbed(aw float64) float64 { return min(n.Spell, aw*math.Sqrt(n.SpellHours*3600)) }
