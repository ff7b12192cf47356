package simulate

import (
	"math"

	"wallsift/model/air"
	"wallsift/model/material"
	"wallsift/model/wall"
)

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

// pathsOf walks the layers from either air to the critical face. A vented gap on
// the way is a second exit to the air outside.
func (c *Case) pathsOf(exterior bool) (p paths) {
	at := c.critical(exterior)
	p.outward = filmOutside
	for i := range c.Wall.Layers[:at] {
		l := &c.Wall.Layers[i]
		p.outward += c.sd(l)
		p.outward = vented(p.outward, l)
	}
	p.inward, p.beyondR = filmInside, planeRsi
	beyond := 0.0
	for i := c.Wall.N - 1; i >= at; i-- {
		l := &c.Wall.Layers[i]
		if len(l.Curve) > 0 && p.curve == nil {
			p.curve, p.sd, beyond = l.Curve, l.Curve[0].Sd, p.inward
			continue
		}
		p.inward += c.sd(l)
		p.inward = vented(p.inward, l)
		if p.curve == nil {
			p.beyondR += l.R
		}
	}
	p.within = p.inward - beyond
	return p
}

// critical returns the layer on the inner side of the critical face.
func (c *Case) critical(exterior bool) int {
	for i := range c.Wall.Layers[:c.Wall.N] {
		if r := c.Wall.Layers[i].Role; r == wall.Masonry && exterior || r == wall.Sized && !exterior {
			return i
		}
	}
	return c.Wall.N
}

func (c *Case) sd(l *wall.Layer) float64 {
	if l.Role == wall.Masonry {
		return c.Stone.MuDry * l.Thickness
	}
	return l.Sd
}

// vented lets vapour leave by the air that changes in a layer as well, at about
// 10 °C, beside the resistance sd that lies beyond.
func vented(sd float64, l *wall.Layer) float64 {
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
