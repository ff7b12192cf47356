package rain_test

import (
	"math"
	"testing"

	"wallsift/model/rain"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s: %v, expected %v", what, got, want)
	}
}

// Factor tables of ISO 15927-3, from memory: C_R = K_R·ln(z/z0), worked by hand.
func TestFactors(t *testing.T) {
	near(t, "C_R I at 10 m", rain.Roughness(rain.TerrainI, 10), 1.1743, 1e-4)   // 0.17·ln 1000
	near(t, "C_R II at 10 m", rain.Roughness(rain.TerrainII, 10), 1.0067, 1e-4) // 0.19·ln 200: the airfield itself
	near(t, "C_R III at 3 m", rain.Roughness(rain.TerrainIII, 3), 0.7223, 1e-4) // z_min 8 m: 0.22·ln 26.67
	near(t, "C_R IV at 20 m", rain.Roughness(rain.TerrainIV, 20), 0.7190, 1e-4) // 0.24·ln 20
	// 300·1.0067·0.8·0.3 for an eaves wall at 10 m on farm land, obstacle at 90 m.
	near(t, "I_WA", rain.WallIndex(300, rain.Site{Terrain: rain.TerrainII, Obstruction: 0.8, Topography: 1}, 10, rain.WallEaves), 72.48, 0.01)
}

// Hand-worked capillary uptake: 0.1 kg/m²√s over 4 h takes √14400·0.1 = 12 kg/m².
func TestAbsorbed(t *testing.T) {
	near(t, "absorbed", (&rain.Normals{Spell: 40, SpellHours: 4}).Absorbed(0.1), 12, 1e-12)
	near(t, "all of a light spell", (&rain.Normals{Spell: 5, SpellHours: 4}).Absorbed(0.1), 5, 0)
}
