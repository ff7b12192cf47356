package simulate

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"

	"wallsift/model/climate"
	"wallsift/model/transient"
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
	Scrit          float64 // critical filling w/w_f for frost, 0 without data, above 1 out of reach
}

// Skin is a water-repellent impregnation of the outermost material. Its pores draw
// no water, inward or outward; vapour passes as before. Factor is the share of the
// rain that gets past it all the same (EN 1504-2 allows 7.5 % of the untreated
// uptake) and arrives behind it, where only vapour leads out again.
type Skin struct {
	Factor float64 // 0–1, 1 is a face without impregnation
	Depth  float64 // m
}

// TimberClasses is the number of depths at which embedded timber is judged.
const TimberClasses = 3

// Places say where in the wall the run looks, and what shapes what it sees there.
type Places struct {
	Timber       [TimberClasses]float64 // m from the inner face of the masonry
	Frost        float64                // m from the outer face
	WetFilling   float64                // w/w_f from which masonry counts as wet, 0–1
	CornerRsi    float64                // m²K/W at the inner surface in corners and behind furniture
	Absorptivity float64                // of the outer face, short-wave, 0–1
}

// Case is one wall facing one way, with every number settled. Equal cases have
// equal keys and equal outcomes.
type Case struct {
	Wall  wall.Wall // layers outside → inside, exactly one of them masonry
	Stone Stone
	Skin  Skin
	// CoatUptake is the most rain that a film-forming coat on the face lets in,
	// kg/(m²·h): its w after EN 1062-3 in kg/(m²·√h) times √24/24. 0 is no film.
	CoatUptake float64
	Climate    *Climate // the mean year the wall settles on
	Year       *Climate // the year it is judged in; nil is the mean year itself
	// Indoor is the rule that gives the room's air from the outdoor air.
	Indoor          climate.Indoor
	Azimuth         float64 // degrees from north that the face looks to
	RainCoefficient float64 // C_R·C_T·O·W of ISO 15927-3, less what splashes off
	Wind            float64 // share of the open field's wind that reaches the face, 0–1; for drying, not for rain
	Sun             float64 // share of the direct sun that reaches the face, 0–1
	LeakShare       float64 // of the driving rain that gets behind the face, 0–1
	LeakDepth       float64 // m behind the outer face of the masonry
	Places          *Places
	Timber          [TimberClasses]bool // at which of the depths it is watched
	Settings        Settings
}

// Settings steer the numerics.
type Settings struct {
	Cells       int              // about so many cells in the wall
	Settle      transient.Gather // hours averaged in the years in which the wall settles
	Judge       transient.Gather // likewise in the judged year
	Tolerance   float64          // error tolerance, see transient.Options
	Years       int              // most mean years to settle in
	CloseEnough float64          // distance from the yearly state, in relative humidity and filling, that ends the search
}

// judged returns the year the case is judged in.
func (c *Case) judged() *Climate { return cmp.Or(c.Year, c.Climate) }

// Key is the content address of a case.
type Key [sha256.Size]byte

// Method names what computes an outcome. It is part of every key, so that
// outcomes of another method are never taken for this one's: change it whenever
// equal cases may come out differently.
const Method = "transient-7"

// Key hashes all that the outcome depends on. from is the key of the case whose
// settled state the run starts from, zero for none. Limits are no part of it.
func (c *Case) Key(from Key) Key {
	buf := make([]byte, 0, 1024)
	put := func(x any) { buf, _ = binary.Append(buf, binary.LittleEndian, x) } // all that goes there is of fixed size
	num := func(list ...float64) { put(list) }
	text := func(s string) {
		buf = binary.AppendUvarint(buf, uint64(len(s)))
		buf = append(buf, s...)
	}
	flag := map[bool]float64{true: 1}
	text(Method)
	buf = append(buf, from[:]...)
	for _, y := range []*Climate{c.Climate, c.judged()} {
		text(y.ID)
		num(y.Room, y.Latitude, y.Longitude, y.TimeZone)
	}
	num(float64(c.Indoor), c.Azimuth, c.RainCoefficient, c.Wind, c.Sun, c.LeakShare, c.LeakDepth, c.Skin.Factor, c.Skin.Depth, c.CoatUptake)
	put(c.Stone)
	s := &c.Settings
	num(float64(s.Cells), s.Tolerance, float64(s.Years), s.CloseEnough)
	for _, g := range [2]transient.Gather{s.Settle, s.Judge} {
		num(float64(g.Hours), flag[g.Rain])
	}
	p := c.Places
	num(p.Timber[:]...)
	for _, on := range c.Timber {
		num(flag[on])
	}
	num(p.Frost, p.WetFilling, p.CornerRsi, p.Absorptivity)
	for i := range c.Wall.Layers[:c.Wall.N] {
		l := &c.Wall.Layers[i]
		text(l.Material.Kind)
		num(float64(l.Role), l.Thickness, l.Lambda, l.R, l.Sd, l.AirChange, flag[l.Drained], float64(len(l.Curve)))
		put(l.Curve)
		if l.Role != wall.Masonry {
			put(settled(l))
		}
	}
	return sha256.Sum256(buf)
}
