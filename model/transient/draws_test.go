package transient

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"wallsift/config"
	"wallsift/model/air"
	"wallsift/model/climate/hourly"
	"wallsift/model/damage"
	"wallsift/model/material"
)

// A draw is one assignment of the unknowns of a wall. BenchmarkDraw runs draws of
// random walls the way a screening run does (settle on a mean year from the state
// of the typical wall of the same layers, then one severe year) and compares what
// they are judged by with fine numerics.
type draw struct {
	wall         Wall
	mean, severe *Site
	in           [2]*Indoor
	face         Face
	azimuth      float64
	cold         int     // layer whose outer face is watched, 0 for the inner face of the masonry
	masonry      float64 // m
}

const drawsEach = 5 // walls of the same layers, the typical one first

// numerics are the settings of a draw.
type numerics struct {
	cells, settle, judge int // cells; hours in an entry of the mean and of the severe year
	tolerance, close     float64
	fromTypical          bool
	together             bool // rain, see Gather
}

var fineNumerics = numerics{60, 1, 1, 1, 0.002, false, false}

// judged is what a draw is judged by.
type judged struct {
	timber, mould, water float64 // daily mean RH over its limit, index, mean kg/m²
	years, newton        int
	cpu                  float64 // s, of the engine
}

func BenchmarkDraw(b *testing.B) {
	draws := someDraws(b, 20)
	fine, _ := runDraws(b, draws, fineNumerics)
	for _, c := range []struct {
		name string
		n    numerics
	}{
		{"fine", numerics{20, 24, 12, 20, 0.01, true, false}},
		{"quick", numerics{14, 48, 48, 60, 0.02, true, true}},
		{"quick, rain apart", numerics{14, 48, 48, 60, 0.02, true, false}},
		{"quick, judged by 24 h", numerics{14, 48, 24, 60, 0.02, true, true}},
		{"quick, by 24 h", numerics{14, 24, 24, 60, 0.02, true, true}},
		{"quick, by 72 h", numerics{14, 72, 72, 60, 0.02, true, true}},
		{"quick, tolerance 40", numerics{14, 48, 48, 40, 0.02, true, true}},
		{"quick, tolerance 80", numerics{14, 48, 48, 80, 0.02, true, true}},
		{"quick, settled to 0.03", numerics{14, 48, 48, 60, 0.03, true, true}},
		{"quick, 10 cells", numerics{10, 48, 48, 60, 0.02, true, true}},
		{"quick, 20 cells", numerics{20, 48, 48, 60, 0.02, true, true}},
	} {
		b.Run(c.name, func(b *testing.B) {
			for range b.N {
				got, typical := runDraws(b, draws, c.n)
				var off [3][]float64
				var bias [3]float64
				var cpu, years, newton, n float64
				for i, o := range got {
					if typical[i] && c.n.fromTypical {
						continue // run once for all its draws
					}
					f := fine[i]
					for k, e := range [3]float64{o.timber - f.timber, (o.mould - f.mould) / 3, o.water/f.water - 1} {
						off[k] = append(off[k], math.Abs(e))
						bias[k] += e / float64(len(got))
					}
					cpu, years, newton, n = cpu+o.cpu, years+float64(o.years), newton+float64(o.newton), n+1
				}
				b.ReportMetric(1e3*cpu/n, "cpu-ms/draw")
				b.ReportMetric(years/n, "years")
				b.ReportMetric(newton/n, "newton")
				for k, name := range [3]string{"timber", "mould", "water"} {
					slices.Sort(off[k])
					b.ReportMetric(100*off[k][len(off[k])*95/100], name+"-off-%")
					b.ReportMetric(100*bias[k], name+"-bias-%")
				}
			}
		})
	}
}

// runDraws runs all draws and says which are typical walls.
func runDraws(t testing.TB, draws []draw, n numerics) (out []judged, typical []bool) {
	var s Solver
	var start *Snapshot
	for i := range draws {
		first := i%drawsEach == 0
		from := start
		if first || !n.fromTypical {
			from = nil
		}
		o, settled := draws[i].run(t, &s, n, from)
		if first {
			start = settled
		}
		out, typical = append(out, o), append(typical, first)
	}
	return out, typical
}

func (q *draw) run(t testing.TB, s *Solver, n numerics, from *Snapshot) (o judged, settled *Snapshot) {
	began := cpuSeconds()
	if err := s.Reset(q.wall, Options{Cells: n.cells, Tolerance: n.tolerance}); err != nil {
		t.Fatal(err)
	}
	drive := func(s *Site, in *Indoor, g Gather) *Drive {
		a := s.Aspect(q.azimuth, in, g)
		return a.Drive(&q.face)
	}
	mean, severe := drive(q.mean, q.in[0], Gather{n.settle, n.together}), drive(q.severe, q.in[1], Gather{n.judge, n.together})
	s.SetUniform(10, 0.85)
	if from != nil {
		s.Restore(from)
	}
	coldFace := func(v *Solver) (theta, rh float64) {
		if q.cold > 0 {
			return v.Contact(q.cold)
		}
		return v.Climate(v.Spot(q.masonry - 1e-9))
	}
	var theta, rh [2][]float64 // at the cold face, in the mean and in the severe year
	watch := func(year int, v *Solver) {
		th, h := coldFace(v)
		for until := (v.Hour-1)%8760 + 1; len(rh[year]) < until; {
			theta[year], rh[year] = append(theta[year], th), append(rh[year], h)
		}
	}
	p := s.RunPeriodic(mean, PeriodicOptions{MaxYears: 40, Tolerance: n.close, Begin: func() { theta[0], rh[0] = theta[0][:0], rh[0][:0] }}, func(v *Solver) { watch(0, v) })
	if p.Err != nil {
		t.Fatal(p.Err)
	}
	settled = s.Save()
	deep := q.masonry - min(0.1, q.masonry/2)
	at, day := 0, pair{}
	r := s.Run(severe, severe.Hours(), func(v *Solver) {
		watch(1, v)
		th, h := v.Climate(v.Spot(deep))
		for until := len(rh[1]); at < until; {
			day.t, day.u = day.t+th/24, day.u+h/24
			o.water += s.Stored() / 8760
			if at++; at%24 == 0 {
				// Pore humidity over the limit of WTA 6-8, from memory.
				o.timber = max(o.timber, day.u/(0.95-0.09*max(0, min(1, day.t/30))))
				day = pair{}
			}
		}
	})
	if r.Err != nil {
		t.Fatal(r.Err)
	}
	o.years, o.newton, o.cpu = p.Years, p.Counters.Newton+r.Counters.Newton, cpuSeconds()-began
	m := damage.Mould{Class: damage.MediumResistant, Decline: damage.DeclineLow}
	for k := range 5 * len(rh[0]) {
		m.Hours(k, 1, theta[0][k%8760], rh[0][k%8760])
	}
	for k := range rh[1] {
		m.Hours(k, 1, theta[1][k], rh[1][k])
		o.mould = max(o.mould, m.Index())
	}
	return o, settled
}

// someDraws makes draws of random walls: stones, linings and climates of the
// default tables, properties drawn between their low and high values. How much
// rain, sun and wind reach the face, and the room, are invented.
func someDraws(t testing.TB, walls int) (out []draw) {
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	mats := material.Resolve(l.Config.Materials)
	var stones []string
	for id, m := range mats {
		if m.IsMasonry() {
			stones = append(stones, id)
		}
	}
	slices.Sort(stones)
	type part struct {
		id string
		d  float64
	}
	linings := [][]part{nil,
		{{"mineral_wool", 0.1}, {"gypsum_board", 0.0125}},
		{{"calcium_silicate", 0.05}, {"lime_plaster", 0.006}},
		{{"insulating_lime_plaster", 0.05}, {"lime_plaster", 0.004}},
		{{"closed_cell_foam", 0.05}, {"gypsum_board", 0.0125}},
	}
	retarder := Interface{Curve: []SdPoint{{0.25, 10}, {0.5, 6}, {0.6, 3}, {0.7, 1.2}, {0.8, 0.5}, {0.9, 0.25}}} // invented
	r := rand.New(rand.NewPCG(11, 5))
	drawn := func(id string, typical bool) *Compiled {
		m := mats[id]
		pick := func(low, mid, high float64) float64 {
			if typical || !(high > low) {
				return mid
			}
			return low + (high-low)*0.5*(r.Float64()+r.Float64())
		}
		wf, w80, aw := pick(m.Wf.Low, m.Wf.Typical, m.Wf.High), pick(m.W80.Low, m.W80.Typical, m.W80.High), pick(m.Aw.Low, m.Aw.Typical, m.Aw.High)
		if wf == 0 || w80 == 0 {
			wf, w80, aw = 50, 0.5, 0
		}
		return compiled(t, porous(id, max(m.Density.Typical, 30), max(m.HeatCapacity, 800), pick(m.Lambda.Low, m.Lambda.Typical, m.Lambda.High), m.LambdaMoisture,
			min(w80, 0.7*wf), wf, aw, max(m.MuDry, 1), max(m.MuWet, 1)))
	}
	type year struct {
		site *Site
		in   *Indoor
	}
	years := map[string]year{}
	weather := func(id string, deviate float64) year {
		key := fmt.Sprint(id, deviate)
		if years[key].site == nil {
			station := l.Config.Stations[id]
			w := Weather(*hourly.Generate(&station, 1, deviate).Liquid())
			site := NewSite(&w, station.Latitude, 0, 0)
			in := &Indoor{Theta: make([]float64, len(w.Theta)), RH: make([]float64, len(w.Theta))}
			for k, th := range w.Theta {
				in.Theta[k] = 20
				in.RH[k] = min(0.9, (w.RH[k]*air.Psat(th)+25*max(0, min(20, 20-th)))/air.Psat(20))
			}
			years[key] = year{site, in}
		}
		return years[key]
	}
	places := []string{"glasgow", "munich", "oslo", "prague", "seattle"}
	for k := range walls {
		stone, lining, place := stones[r.IntN(len(stones))], linings[k%len(linings)], places[k/2%len(places)]
		q := draw{masonry: 0.23 + 0.6*r.Float64(), cold: min(len(lining), 1)}
		mean, severe := weather(place, 0), weather(place, hourly.OneInTen)
		q.mean, q.severe, q.in = mean.site, severe.site, [2]*Indoor{mean.in, severe.in}
		azimuth, rain := 360*r.Float64(), 0.02+0.15*r.Float64()
		for n := range drawsEach {
			typical := n == 0
			q.wall = Wall{Layers: []Layer{{Thickness: q.masonry, Material: drawn(stone, typical)}}, RainDepth: 0.1, RainShare: 0.01 * float64(n%2)}
			for i, p := range lining {
				layer := Layer{Thickness: p.d, Material: drawn(p.id, typical)}
				if i == 1 && lining[0].id == "mineral_wool" {
					layer.Contact = retarder
				}
				q.wall.Layers = append(q.wall.Layers, layer)
			}
			q.azimuth, q.face = azimuth, Face{Absorptivity: 0.6, Emissivity: 0.9, GroundAlbedo: 0.2, RainCoefficient: rain, Wind: 0.7, Sun: 0.8}
			if c, ok := q.wall.Layers[0].Material.Liquid.(CapillaryUptake); ok {
				q.face.Aw = c.Aw / (1 - q.wall.RainShare)
			}
			if !typical {
				q.azimuth += 40 * (r.Float64() - 0.5)
				q.face.RainCoefficient *= math.Exp(0.4 * r.NormFloat64())
				q.face.Absorptivity, q.face.Wind, q.face.Sun = 0.4+0.4*r.Float64(), 0.4+0.6*r.Float64(), 0.5+0.5*r.Float64()
			}
			out = append(out, q)
		}
	}
	return out
}
