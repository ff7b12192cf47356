package simulate

import (
	"crypto/sha256"
	"encoding/binary"
	"math"

	"wallsift/model/climate"
	"wallsift/model/wall"
)

// Stone holds the settled properties of the masonry layer; its thickness and
// dry conductivity are the layer's.
type Stone struct {
	LambdaMoisture float64 // b_λ
	Density        float64 // kg/m³
	HeatCapacity   float64 // J/(kg·K)
	MuDry, MuWet   float64
	Aw             float64 // kg/(m²·√s)
	W80, Wf        float64 // kg/m³
	Porosity       float64 // m³/m³
	Scrit          float64 // critical degree of saturation, 0–1
}

// Skin is what finishes and treatments make of the outermost material: over
// Depth its A_w is multiplied by Factor. It models an impregnated or painted
// face that still takes some rain and lets vapour through.
type Skin struct {
	Factor float64 // 0–1, 1 leaves the face as it is
	Depth  float64 // m
}

// TimberClasses is the number of depths at which embedded timber is judged.
const TimberClasses = 3

// Params are the places and thresholds that shape what is watched, and the
// limits it is compared with; all come from the limits table.
type Params struct {
	TimberDepths         [TimberClasses]float64 // m from the inner face of the masonry
	TimberRH0, TimberRH3 float64                // pore humidity limit at 0 and 30 °C, 0–1
	TimberMoisture       float64                // kg/kg
	TimberActivation     float64                // activation of decay, 1 = rot begins
	MouldSurface         float64                // mould index at the inner surface
	MouldCold            float64                // mould index at the cold face
	Condensate           float64                // kg/m², absorbent lining
	CondensateTight      float64                // kg/m², lining that cannot take up water
	AbsorbentAw          float64                // kg/(m²·√s)
	AirLeak              float64                // kg/m²a
	Pulse                float64                // kg/m² of the drying test
	WetFill              float64                // degree of filling that counts as wet, 0–1
	WetShare             float64                // 0–1 of the masonry
	FrostDepth           float64                // m from the outer face
	FrostMore            float64                // damaging cycles a year that a measure may add
	Absorptivity         float64                // of the face, short-wave, 0–1
}

// Case is one wall in one climate with every number settled. Equal cases have
// equal keys and equal outcomes.
type Case struct {
	Wall    wall.Wall // layers outside → inside, exactly one of them masonry
	Stone   Stone
	Skin    Skin
	Climate *Climate
	// Indoor is the rule that gives the room's air from the outdoor air.
	Indoor          climate.Indoor
	Azimuth         float64 // degrees from north that the face looks to
	RainCoefficient float64 // C_R·C_T·O·W of ISO 15927-3
	LeakShare       float64 // of the driving rain that gets behind the face, 0–1
	LeakDepth       float64 // m behind the outer face of the masonry
	Drying          bool    // run the drying test as well
	Params          *Params
	Settings        Settings
}

// Settings steer the numerics.
type Settings struct {
	Cells     int     // about so many cells in the wall
	Block     int     // hours without rain that are averaged, ≥ 1
	Tolerance float64 // error tolerance, see transient.Options
	Years     int     // most years to look for the periodic state
}

// Key is the content address of a case.
type Key [sha256.Size]byte

// Method names what computes an outcome. It is part of every key, so that
// outcomes of another method are never taken for this one's: change it whenever
// equal cases may come out differently.
const Method = "transient-2"

// Key hashes all that the outcome depends on.
func (c *Case) Key() Key {
	buf := make([]byte, 0, 1024)
	num := func(list ...float64) {
		for _, x := range list {
			buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(x))
		}
	}
	text := func(s string) {
		buf = binary.AppendUvarint(buf, uint64(len(s)))
		buf = append(buf, s...)
	}
	text(Method)
	text(c.Climate.ID)
	num(c.Climate.Room, float64(c.Indoor), c.Azimuth, c.RainCoefficient, c.LeakShare, c.LeakDepth, c.Skin.Factor, c.Skin.Depth)
	s := &c.Stone
	num(s.LambdaMoisture, s.Density, s.HeatCapacity, s.MuDry, s.MuWet, s.Aw, s.W80, s.Wf, s.Porosity, s.Scrit)
	num(float64(c.Settings.Cells), float64(c.Settings.Block), c.Settings.Tolerance, float64(c.Settings.Years))
	drying := 0.0
	if c.Drying {
		drying = 1
	}
	num(drying)
	p := c.Params
	num(p.TimberDepths[:]...)
	num(p.TimberRH0, p.TimberRH3, p.TimberMoisture, p.TimberActivation, p.MouldSurface, p.MouldCold, p.Condensate,
		p.CondensateTight, p.AbsorbentAw, p.AirLeak, p.Pulse, p.WetFill, p.WetShare, p.FrostDepth, p.FrostMore, p.Absorptivity)
	for i := range c.Wall.Layers[:c.Wall.N] {
		l := &c.Wall.Layers[i]
		text(l.Material.Kind)
		num(float64(l.Role), l.Thickness, l.Lambda, l.R, l.Sd, l.AirChange)
		if l.Drained {
			num(1)
		}
		num(float64(len(l.Curve)))
		for _, pt := range l.Curve {
			num(pt.RH, pt.Sd)
		}
		if l.Role != wall.Masonry {
			m := settled(l)
			num(m.LambdaMoisture, m.Density, m.HeatCapacity, m.MuDry, m.MuWet, m.Aw, m.W80, m.Wf, m.Porosity, m.Scrit)
		}
	}
	return sha256.Sum256(buf)
}
