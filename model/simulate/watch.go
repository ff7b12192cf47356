package simulate

import (
	"math"
	"slices"

	"wallsift/model/damage"
	"wallsift/model/transient"
)

// watcher reads the damage models while the engine runs its year.
type watcher struct {
	c *Case
	y *layout

	cold      int  // layer whose outer face is watched, -1 where it is no contact of layers:
	within    spot // there, the last of the masonry of a bare wall, or the first of the insulation
	timber    [TimberClasses]spot
	surface   int
	frostAt   float64
	from, to  int // cells of the masonry
	depths    []float64
	fills     []float64
	wf        []float64
	humidity  [TimberClasses]damage.TimberHumidity
	moisture  [TimberClasses]damage.TimberMoisture
	decay     [TimberClasses]damage.TimberDecay
	gathering damage.Accumulation
	frost     damage.FreezeThaw
	front     damage.RainFront
	day       damage.DailyMean
	coldRH    float64
	week      [Places][Weeks]float64
	weekHours [Weeks]float64
	water     float64
	// The year of each place and of the inner surface, for models that need it
	// more than once.
	theta, rh [Places + 1][]float32
	hours     int
	course    *Course
}

// Course is the daily course of a watched year, for people.
type Course struct {
	Theta, RH [Places][365]float64 // °C; 0–1
	Water     [365]float64         // kg/m² in the wall
	Fill      [365]float64         // degree of filling of the outermost cell, w/w_f
	Rain      [365]float64         // kg/m² on the face
	n         [365]float64
}

func (w *watcher) begin(c *Case, y *layout, v *transient.State, course *Course) {
	theta, rh, depths, fills, wf := w.theta, w.rh, w.depths[:0], w.fills[:0], w.wf[:0]
	*w = watcher{c: c, y: y, course: course, theta: theta, rh: rh}
	if course != nil {
		*course = Course{}
	}
	p := c.Params
	w.cold, w.within = y.coldLayer, spotAt(v, y.inner-1e-9)
	if !math.IsNaN(y.cold) {
		w.within = spotAt(v, y.cold+1e-9)
	}
	for k, deep := range p.TimberDepths {
		w.timber[k] = spotAt(v, y.timberAt(deep))
		w.humidity[k] = damage.TimberHumidity{RH0: p.TimberRH0, RH30: p.TimberRH3}
		w.moisture[k] = damage.TimberMoisture{Lag: damage.TimberLag}
	}
	w.surface = v.Cells() - 1
	w.frostAt = p.FrostDepth
	for i := range v.Cells() {
		if x := v.Depth(i); x > y.outer && x < y.inner {
			depths, fills, wf = append(depths, x-y.outer), append(fills, 0), append(wf, c.Stone.Wf)
			if len(depths) == 1 {
				w.from = i
			}
			w.to = i + 1
		}
	}
	w.depths, w.fills, w.wf = depths, fills, wf
	w.gathering = damage.Accumulation{Dry: y.dry, WetRH: 0.99}
	w.frost = damage.FreezeThaw{Porosity: y.face.Porosity, Critical: y.face.Scrit, FreezeAt: damage.FreezeAt, ThawAt: damage.ThawAt}
	w.front = damage.RainFront{Thickness: y.inner - y.outer, Threshold: p.WetFill}
	for i := range w.theta {
		w.theta[i], w.rh[i] = w.theta[i][:0], w.rh[i][:0]
	}
}

// spot is a depth between the centres of two cells of a layer, so that what is
// read there does not move with the grid.
type spot struct {
	i, j  int
	share float64 // of j
}

func spotAt(v *transient.State, x float64) (p spot) {
	p.i, p.j, p.share = v.Between(x)
	return p
}

func (p *spot) read(v *transient.State) (theta, rh float64) {
	if p.i == p.j {
		return v.Theta(p.i), v.RH(p.i)
	}
	return v.Theta(p.i) + p.share*(v.Theta(p.j)-v.Theta(p.i)), v.RH(p.i) + p.share*(v.RH(p.j)-v.RH(p.i))
}

// observe takes the end of an entry of the drive, and counts it for all its hours.
func (w *watcher) observe(v *transient.State) {
	var th, rh [Places + 1]float64
	if w.cold < 0 {
		th[PlaceCold], rh[PlaceCold] = w.within.read(v)
	} else {
		th[PlaceCold], rh[PlaceCold] = v.Contact(w.cold)
	}
	for k := range w.timber {
		th[PlaceTimber+k], rh[PlaceTimber+k] = w.timber[k].read(v)
	}
	th[Places], rh[Places] = v.Theta(w.surface), v.RH(w.surface)
	stored := 0.0
	for _, l := range w.y.lining {
		stored += v.LayerWater(l)
	}
	face := v.At(w.frostAt)
	total := 0.0
	for i := range v.Cells() {
		total += v.Water(i) * v.Width(i)
	}
	for k := w.from; k < w.to; k++ {
		w.fills[k-w.from] = v.Water(k) / w.wf[k-w.from]
	}
	until := v.Hour % damage.HoursPerYear
	if until == 0 {
		until = damage.HoursPerYear
	}
	for ; w.hours < until; w.hours++ {
		h := w.hours
		week := min(h/168, Weeks-1)
		w.weekHours[week]++
		for i := range Places {
			w.week[i][week] += rh[i]
		}
		for i := range rh {
			w.theta[i] = append(w.theta[i], float32(th[i]))
			w.rh[i] = append(w.rh[i], float32(rh[i]))
		}
		for k := range TimberClasses {
			i := PlaceTimber + k
			w.humidity[k].Hour(h, th[i], rh[i])
			w.moisture[k].Hour(h, th[i], rh[i])
		}
		w.gathering.Hour(h, stored, rh[PlaceCold])
		w.frost.Hour(h, face.Theta, face.Water)
		if mean, full := w.day.Add(rh[PlaceCold]); full {
			w.coldRH = max(w.coldRH, mean)
		}
		if h%24 == 23 {
			w.front.Hour(h, w.depths, w.fills)
		}
		w.water += total / damage.HoursPerYear
		if w.course != nil {
			w.course.add(h, &th, &rh, total, w.fills[0])
		}
	}
}

func (c *Course) add(h int, th, rh *[Places + 1]float64, water, fill float64) {
	d := h / 24
	c.n[d]++
	k := 1 / c.n[d]
	for i := range Places {
		c.Theta[i][d] += (th[i] - c.Theta[i][d]) * k
		c.RH[i][d] += (rh[i] - c.RH[i][d]) * k
	}
	c.Water[d] += (water - c.Water[d]) * k
	c.Fill[d] += (fill - c.Fill[d]) * k
}

// mould runs the mould model over the place's year until its yearly course
// repeats. mostYears bounds it: a surface that comes from dry settles sooner.
func (w *watcher) mould(place int, class damage.MouldClass, limit float64) damage.Finding {
	theta, rh := w.theta[place], w.rh[place]
	grows := slices.ContainsFunc(rh, func(x float32) bool { return float64(x) >= class.RHMin })
	m := damage.Mould{Class: class, Decline: damage.DeclineLow}
	year := func() {
		for k := range rh {
			m.Hour(k, float64(theta[k]), float64(rh[k]))
		}
	}
	if !grows {
		m.Hour(0, 20, 0.3) // nothing can grow in such a year
		return m.Finding(limit)
	}
	damage.Repeat(mostYears, settledIndex, year, m.Index)
	return m.Finding(limit)
}

const (
	mostYears    = 5
	settledIndex = 0.02 // of the mould index, from year to year
)

// rot runs the decay model over the timber's year, mostYears times. The demand is
// the activation and, once rot has begun, the percent of dry mass lost on top.
func (w *watcher) rot(k int, limit float64) damage.Finding {
	theta, rh := w.theta[PlaceTimber+k], w.rh[PlaceTimber+k]
	d := &w.decay[k]
	if !slices.ContainsFunc(rh, func(x float32) bool { return x >= decayRH }) {
		d.Hour(0, 20, 0.5) // nothing can begin in such a year
		return d.Activation(limit)
	}
	for range mostYears {
		for i := range rh {
			d.Hour(i, float64(theta[i]), float64(rh[i]))
		}
	}
	f := d.Activation(limit)
	if f.Demand >= 1 {
		f.Demand += 100 * d.MassLoss()
		f.Utilisation = min(f.Demand/limit, damage.MaxUtilisation)
	}
	return f
}

// decayRH is the humidity below which no rot starts; see damage.TimberDecay.
const decayRH = 0.95

// finish writes the outcome.
func (w *watcher) finish(o *Outcome) {
	p := w.c.Params
	o.Insulated = !math.IsNaN(w.y.cold)
	o.SurfaceMould = w.mould(Places, damage.Sensitive, p.MouldSurface)
	if o.Insulated {
		o.ColdMould = w.mould(PlaceCold, damage.MediumResistant, p.MouldCold)
		limit := p.CondensateTight
		if w.y.absorbs {
			limit = p.Condensate
		}
		o.Condensate = w.gathering.Peak(limit)
	}
	for k := range TimberClasses {
		o.TimberHumidity[k] = w.humidity[k].Finding()
		o.TimberMoisture[k] = w.moisture[k].Finding(p.TimberMoisture)
		o.TimberRot[k] = w.rot(k, p.TimberActivation)
	}
	o.Front = w.front.Finding(p.WetShare)
	if w.y.face.Porosity > 0 && w.y.face.Scrit > 0 {
		o.Frost = w.frost.Year()
	} else {
		o.Frost = damage.FrostYear{Hour: -1}
	}
	o.Water, o.ColdRH = w.water, w.coldRH
	for i := range Places {
		for k := range Weeks {
			o.Course[i][k] = uint8(max(0, min(255, math.Round(200*w.week[i][k]/max(w.weekHours[k], 1)))))
		}
	}
}
