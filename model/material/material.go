// Package material holds the hygrothermal properties of wall materials and the
// mixing rules for masonry that is stone plus mortar. It refuses to know where
// the numbers come from: tables are handed in, each row with its source.
package material

import (
	"math"
	"slices"
)

// Range is a property with its spread: Low ≤ Typical ≤ High, all in the SI unit
// of the property. A zero Range means "not known".
type Range struct {
	Low     float64 `mapstructure:"low"`
	Typical float64 `mapstructure:"typical"`
	High    float64 `mapstructure:"high"`
}

// SdPoint is one point of a variable vapour retarder's curve.
type SdPoint struct {
	RH float64 `mapstructure:"rh"` // mean relative humidity on its two faces, 0–1
	Sd float64 `mapstructure:"sd"` // m of still air
}

// Mix describes masonry made of a stone and a bedding mortar; the other
// properties of such a row are computed by Compose.
type Mix struct {
	Stone       string `mapstructure:"stone"`        // material id
	Mortar      string `mapstructure:"mortar"`       // material id
	MortarShare Range  `mapstructure:"mortar_share"` // volume share, 0–1
}

// Material is one row of the materials table. Units are SI; a membrane has Sd
// (constant s_d, m) or SdCurve instead of Mu.
type Material struct {
	ID             string    `mapstructure:"-"`
	Label          string    `mapstructure:"label"`
	Kind           string    `mapstructure:"kind"`            // one of Kinds
	Lambda         Range     `mapstructure:"lambda"`          // W/(m·K), dry
	LambdaMoisture float64   `mapstructure:"lambda_moisture"` // b_λ: relative rise of λ per unit mass moisture content
	Density        Range     `mapstructure:"density"`         // kg/m³
	HeatCapacity   float64   `mapstructure:"heat_capacity"`   // J/(kg·K)
	MuDry          float64   `mapstructure:"mu_dry"`          // vapour resistance factor, dry cup
	MuWet          float64   `mapstructure:"mu_wet"`          // vapour resistance factor, wet cup
	Porosity       Range     `mapstructure:"porosity"`        // m³/m³, open
	Aw             Range     `mapstructure:"a_w"`             // kg/(m²·√s)
	W80            Range     `mapstructure:"w80"`             // kg/m³ at 80 % RH
	Wf             Range     `mapstructure:"w_f"`             // kg/m³, free saturation
	Scrit          Range     `mapstructure:"s_crit"`          // critical degree of saturation for frost, 0–1
	Sd             float64   `mapstructure:"sd"`              // m, membranes and coats
	SdCurve        []SdPoint `mapstructure:"sd_curve"`        // variable retarders
	Mix            *Mix      `mapstructure:"mix"`
	Source         string    `mapstructure:"source"`
}

// Kinds lists the words a material's Kind may be. Stone, brick and composite
// rows can be an inventory's stone_type; a unit is a single block of a mix.
var Kinds = []string{"stone", "brick", "composite", "unit", "mortar", "plaster", "insulation", "board", "membrane", "air"}

// IsMasonry says whether a wall can be built of the material.
func (m *Material) IsMasonry() bool {
	return slices.Contains([]string{"stone", "brick", "composite"}, m.Kind)
}

// SdLayer returns the s_d value in m of a layer of thickness d (m): the material's
// own s_d for membranes and coats, μ·d for the rest, with the mean of the dry-cup and
// the wet-cup value, since walls work between the two. Variable retarders answer with
// their driest point; use SdAt for them.
func (m *Material) SdLayer(d float64) float64 {
	switch {
	case len(m.SdCurve) > 0:
		return m.SdCurve[0].Sd
	case m.Sd > 0:
		return m.Sd
	}
	return (m.MuDry + m.MuWet) / 2 * d
}

// SdAt returns the s_d value in m of a variable retarder whose two faces have
// the mean relative humidity rh (0–1). Between the points of the curve log s_d
// is linear in rh; outside them the end value holds.
func SdAt(curve []SdPoint, rh float64) float64 {
	last := len(curve) - 1
	if rh <= curve[0].RH {
		return curve[0].Sd
	}
	if rh >= curve[last].RH {
		return curve[last].Sd
	}
	i := 1
	for curve[i].RH < rh {
		i++
	}
	a, b := curve[i-1], curve[i]
	t := (rh - a.RH) / (b.RH - a.RH)
	return a.Sd * math.Pow(b.Sd/a.Sd, t)
}
