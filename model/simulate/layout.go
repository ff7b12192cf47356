package simulate

import (
	"fmt"
	"math"

	"wallsift/model/air"
	"wallsift/model/material"
	"wallsift/model/transient"
	"wallsift/model/wall"
)

// layout is a case's wall as the engine takes it, with the places watched.
type layout struct {
	wall      transient.Wall
	lining    []int   // layers on the new side that condensate may gather in
	dry       float64 // kg/m² they hold at 80 % relative humidity
	aw        float64 // kg/(m²·√s) of the insulation
	skin      float64 // m, depth of the impregnation
	outer     float64 // m, outer face of the masonry
	inner     float64 // m, inner face of the masonry
	cold      float64 // m, outer face of the insulation, NaN without
	coldLayer int     // layer of the insulation, -1 without, or where nothing lies outside of it
	exterior  bool    // the insulation lies outside the masonry
	face      Stone   // the outermost material
	rainLimit float64 // kg/(m²·h) of the rain on the face, 0 without a film
	takes     float64 // kg/(m²·√s), absorption coefficient over the share of the rain that meets the face
	paths     paths
}

// lay builds the engine's wall.
func (c *Case) lay(mats *Materials) (*layout, error) {
	y := &layout{cold: math.NaN(), coldLayer: -1, outer: math.NaN()}
	var contact transient.Interface
	var last recipe
	at, masonry, critical := 0.0, false, c.Wall.N
	add := func(r recipe, l *wall.Layer, d float64) error {
		n := len(y.wall.Layers)
		plain := contact.Sd == 0 && contact.R == 0 && contact.Curve == nil && !contact.CapillaryBreak
		if n > 0 && plain && r == last && y.wall.Layers[n-1].AirChange == l.AirChange && y.wall.Layers[n-1].Drained == l.Drained {
			y.wall.Layers[n-1].Thickness += d
		} else {
			m, err := mats.compile(r)
			if err != nil {
				return fmt.Errorf("layer %s: %w", l.Material.ID, err)
			}
			y.wall.Layers = append(y.wall.Layers, transient.Layer{Thickness: d, Material: m, Contact: contact, AirChange: l.AirChange, Drained: l.Drained})
			n++
		}
		contact, last = transient.Interface{}, r
		at += d
		lines := masonry || l.Role == wall.Sized
		if k := l.Material.Kind; lines && l.Role != wall.Masonry && (k == "insulation" || k == "air" || k == "board") {
			if len(y.lining) == 0 || y.lining[len(y.lining)-1] != n-1 {
				y.lining = append(y.lining, n-1)
			}
			y.dry += d * y.wall.Layers[n-1].Material.Water(0.8)
		}
		return nil
	}
	for i := range c.Wall.Layers[:c.Wall.N] {
		l := &c.Wall.Layers[i]
		if l.Thickness == 0 {
			contact.Sd += l.Sd
			if len(l.Curve) > 0 {
				contact.Sd -= l.Sd // NewLayer gives retarders their driest point
				contact.Curve = curve(l)
			}
			contact.CapillaryBreak = masonry
			continue
		}
		r := recipe{settled(l), l.Lambda}
		if l.Role == wall.Masonry {
			r.Stone, y.outer = c.Stone, at
		}
		if l.R > 0 && l.Lambda == 0 {
			r.lambda = l.Thickness / l.R
		}
		if l.Role == wall.Sized {
			y.cold, y.exterior, y.aw = at, !masonry, r.Aw
			if critical = i; y.exterior {
				critical = c.Wall.Masonry
			}
		}
		d, n := l.Thickness, len(y.wall.Layers)
		if n == 0 {
			y.face = r.Stone
			if c.Skin.Factor < 1 && r.Aw > 0 {
				skin := r
				skin.Aw = 0
				y.skin = min(c.Skin.Depth, d/2)
				if err := add(skin, l, y.skin); err != nil {
					return nil, err
				}
				d -= y.skin
			}
		}
		if d > 0 {
			if err := add(r, l, d); err != nil {
				return nil, err
			}
		}
		switch {
		case l.Role == wall.Masonry:
			masonry, y.inner = true, at
		case l.Role == wall.Sized && n > 0 && len(y.wall.Layers) > n: // else it is one with the layer before
			y.coldLayer = n
		}
	}
	y.wall.Inner = contact
	if math.IsNaN(y.outer) {
		return nil, fmt.Errorf("wall without masonry")
	}
	y.paths = c.pathsOf(critical)
	if y.skin > 0 {
		y.wall.SkinShare, y.wall.SkinDepth = min(c.Skin.Factor, 1-c.LeakShare), y.skin+1e-9
	}
	y.wall.RainShare, y.wall.RainDepth = c.LeakShare, y.outer+min(c.LeakDepth, (y.inner-y.outer)/2)
	// What comes through cracks does not meet the face.
	if meets := 1 - y.wall.RainShare - y.wall.SkinShare; meets > 0 {
		y.rainLimit = c.CoatUptake / meets
		if y.skin == 0 {
			y.takes = y.face.Aw / meets
		}
	}
	return y, nil
}

// curve tabulates a retarder more finely: between its points the logarithm of
// s_d is linear in humidity (material.SdAt), where the engine takes s_d itself.
func curve(l *wall.Layer) []transient.SdPoint {
	const parts = 4
	var out []transient.SdPoint
	for i, p := range l.Curve {
		if i > 0 {
			q := l.Curve[i-1]
			for k := 1; k < parts; k++ {
				t := float64(k) / parts
				out = append(out, transient.SdPoint{RH: q.RH + t*(p.RH-q.RH), Sd: q.Sd * math.Pow(p.Sd/q.Sd, t)})
			}
		}
		out = append(out, transient.SdPoint{RH: p.RH, Sd: p.Sd})
	}
	return out
}

// timberAt is the depth from the outer face of timber that lies deep from the
// inner face of the masonry, or in the middle of a thin wall.
func (y *layout) timberAt(deep float64) float64 {
	return y.inner - min(deep, (y.inner-y.outer)/2)
}

// Vapour resistance of the films of air on both faces, m: δ0/β with the transfer
// coefficients of the engine, inside 2.5e-8, outside 7e-9·h at h = 20 W/(m²K).
const (
	filmInside  = air.DeltaStandard / 2.5e-8
	filmOutside = air.DeltaStandard / (7e-9 * 20)
)

// Heat transfer resistances, m²K/W: inside that of the engine, outside ISO 6946.
const (
	planeRsi = 1.0 / 8
	planeRse = 0.04
)

// paths are the ways on which vapour leaves the critical face, the one that leaks
// and condensate wet: the cold face of the insulation, or behind exterior
// insulation the outer face of the masonry.
type paths struct {
	outward float64 // m of still air, film included
	inward  float64 // m likewise, a variable retarder left out
	curve   []material.SdPoint
	sd      float64 // m, what the retarder settled at last: the next guess
	within  float64 // m between the face and the retarder
	beyondR float64 // m²K/W between the retarder and the room, film included
}

// pathsOf walks the layers from either air to the critical face, on the outer side of
// layer at. A vented gap on the way is a second exit to the air outside.
func (c *Case) pathsOf(at int) (p paths) {
	p.outward = filmOutside
	for i := range c.Wall.Layers[:at] {
		p.outward = c.through(p.outward, &c.Wall.Layers[i])
	}
	p.inward, p.beyondR = filmInside, planeRsi
	beyond := 0.0
	for i := c.Wall.N - 1; i >= at; i-- {
		l := &c.Wall.Layers[i]
		if len(l.Curve) > 0 && p.curve == nil {
			p.curve, p.sd, beyond = l.Curve, l.Curve[0].Sd, p.inward
			continue
		}
		p.inward = c.through(p.inward, l)
		if p.curve == nil {
			p.beyondR += l.R
		}
	}
	p.within = p.inward - beyond
	return p
}

// through adds a layer to the resistance sd that lies beyond it, m. By air that changes
// in the layer, at about 10 °C, vapour leaves beside that.
func (c *Case) through(sd float64, l *wall.Layer) float64 {
	if l.Role == wall.Masonry {
		sd += c.Stone.MuDry * l.Thickness
	} else {
		sd += l.Sd
	}
	if l.AirChange == 0 {
		return sd
	}
	exit := l.AirChange / 3600 * l.Thickness / (air.GasConstantVapour * (10 + air.KelvinOffset))
	return 1 / (1/sd + exit/air.DeltaStandard)
}

// sdInward returns the s_d to the room (m) that vapour meets when the face is wet,
// at pressure ps (Pa), with pi in a room of theta °C that loses q W/m². A variable
// retarder takes the humidity it has then: so a wetter face never has a larger
// reserve.
func (p *paths) sdInward(ps, theta, pi, q float64) float64 {
	if p.curve == nil {
		return p.inward
	}
	sat := air.PsatFast(theta - q*p.beyondR)
	sd := p.sd
	for range 20 {
		all := p.inward + sd
		outer, inner := ps+(pi-ps)*p.within/all, ps+(pi-ps)*(p.within+sd)/all
		want := material.SdAt(p.curve, (min(1, outer/sat)+min(1, inner/sat))/2)
		if math.Abs(want-sd) < 0.01*sd {
			break
		}
		sd = math.Sqrt(sd * want)
	}
	p.sd = sd
	return p.inward + sd
}
