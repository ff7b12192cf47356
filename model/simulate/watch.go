package simulate

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"wallsift/model/air"
	"wallsift/model/damage"
	"wallsift/model/transient"
)

// watcher reads the damage models while the engine runs. Mould, rot and what rain
// has wetted go on from the mean years into the judged one; the rest is each
// year's own.
type watcher struct {
	c *Case
	y *layout

	// Where it looks.
	cold     int // layer whose outer face is watched, -1 where it is no contact of layers:
	within   transient.Spot
	critical transient.Spot // of exterior insulation
	timber   [TimberClasses]transient.Spot
	frostAt  transient.Spot
	follows  float64 // share of the air's daily swing that the face goes along with
	corner   float64 // heat flow behind CornerRsi over that of the plane wall

	// From year to year.
	surface, face damage.Mould
	decay         [TimberClasses]damage.TimberDecay
	front         damage.RainFront
	places        []damage.Place // cells from the outer face to the inner face of the masonry
	wf            []float64      // kg/m³, of them

	yearly
}

// yearly is what is read of the year at hand.
type yearly struct {
	settling bool
	room     *transient.Indoor
	air      []float64 // °C outside, by hour
	rain     []float64 // kg/m² on the face, by hour
	hours    int
	flows    transient.Flows
	humidity [TimberClasses]damage.TimberHumidity
	moisture [TimberClasses]damage.TimberMoisture
	lining   damage.Highest
	reserve  damage.DryingReserve
	frost    damage.FreezeThaw
	day      damage.DailyMean
	coldRH   float64
	water    float64
	week     [NumPlaces][Weeks]float64
	weekLen  [Weeks]float64
	course   *Course
	// Its climate, for the models that wait for the wall to settle: at each place by
	// entries of the drive, and at the inner surface in corners and behind furniture.
	entries []climateEntry
	corners []climateEntry
}

type climateEntry struct {
	hour, hours int16
	theta, rh   [NumPlaces]float32
}

// Course is the daily course of a judged year, for people.
type Course struct {
	Theta, RH [NumPlaces][365]float64 // °C; 0–1
	Water     [365]float64            // kg/m² in the wall
	Fill      [365]float64            // w/w_f of the outermost cell
	Rain      [365]float64            // kg/m² on the face
}

// begin sets the watcher up for a case; year has to follow.
func (w *watcher) begin(c *Case, y *layout, v *transient.Solver) {
	*w = watcher{c: c, y: y, places: w.places[:0], wf: w.wf[:0], yearly: w.yearly}
	w.cold, w.within = y.coldLayer, v.Spot(y.inner-1e-9)
	if !math.IsNaN(y.cold) {
		w.within = v.Spot(y.cold + 1e-9)
	}
	w.critical = v.Spot(y.outer + 1e-9)
	for k, deep := range c.Places.Timber {
		w.timber[k] = v.Spot(y.timberAt(deep))
	}
	wall := &y.wall
	for i := range v.Cells() {
		x := v.Depth(i)
		if x >= y.inner {
			break
		}
		rain := i == 0 || wall.RainShare > 0 && v.CellAt(wall.RainDepth) == i || wall.SkinShare > 0 && v.CellAt(wall.SkinDepth) == i
		_, fill := v.Filling(v.Spot(x))
		w.places = append(w.places, damage.Place{Depth: x, Rain: rain})
		w.wf = append(w.wf, v.Water(i)/fill)
	}
	// Behind a water-repellent skin frost is looked for where the water is.
	w.frostAt = v.Spot(max(c.Places.Frost, y.skin+1e-9))
	m := y.wall.Layers[0].Material
	w.follows = follows(math.Sqrt(m.Lambda * m.Density * m.HeatCapacity))
	r := c.Wall.Resistance() + planeRse
	w.corner = (r + planeRsi) / (r + c.Places.CornerRsi)
	w.surface = damage.Mould{Class: damage.Sensitive, Decline: damage.DeclineLow}
	w.face = damage.Mould{Class: damage.MediumResistant, Decline: damage.DeclineLow}
	w.front = damage.RainFront{Filling: c.Places.WetFilling}
}

// year begins a year in a climate. Of one in which the wall settles only what goes
// on into the next is read.
func (w *watcher) year(climate *Climate, d *transient.Drive, settling bool, course *Course) {
	w.yearly = yearly{settling: settling, room: climate.At(w.c.Indoor), air: climate.Hours().Theta, rain: append(w.rain[:0], make([]float64, d.Hours())...),
		frost: damage.FreezeThaw{Critical: w.y.face.Scrit}, course: course, entries: w.entries[:0], corners: w.corners[:0]}
	w.front.Forget()
	d.EachRain(func(hour int, rain float64) { w.rain[hour] = rain })
	if course != nil {
		*course = Course{}
		for h, r := range w.rain {
			course.Rain[h/24%365] += r
		}
	}
}

// halfDay is how often the room's air is read, h: a choice of this tool, raced in
// model/transient/README.md.
const halfDay = 12

// observe takes the end of an entry of the drive, and counts it for all its hours.
func (w *watcher) observe(v *transient.Solver) {
	until := cmp.Or(v.Hour%damage.HoursPerYear, damage.HoursPerYear)
	var th, rh [NumPlaces]float64
	if w.cold < 0 {
		th[PlaceCold], rh[PlaceCold] = v.Climate(w.within)
	} else {
		th[PlaceCold], rh[PlaceCold] = v.Contact(w.cold)
	}
	for k, on := range w.c.Timber {
		if on {
			th[PlaceTimber+k], rh[PlaceTimber+k] = v.Climate(w.timber[k])
		}
	}
	total := 0.0
	for i := range v.Cells() {
		water := v.Water(i)
		total += water * v.Width(i)
		if i < len(w.places) {
			p := &w.places[i]
			if p.Filling = water / w.wf[i]; p.Filling >= w.front.Filling {
				p.RH = v.RH(i)
			}
		}
	}
	h, n := w.hours, until-w.hours
	w.hours = until
	w.front.Hours(h, n, w.rain[h] > 0, w.places)

	// The mean heat flow from the room over the entry, without the latent part.
	flows := v.Flows()
	q := (flows.HeatIn - w.flows.HeatIn - air.LatentHeat*(flows.VapourIn-w.flows.VapourIn)) / (3600 * float64(n))
	w.flows = flows
	// The room's air follows the weather of about a day: read once in an entry of two
	// days it hides the days on which mould grows.
	for a := h; a < until; a += halfDay {
		b := min(a+halfDay, until)
		ti, roomP := w.roomAt((a + b) / 2)
		th := ti - w.c.Places.CornerRsi*w.corner*q
		c := climateEntry{hour: int16(a), hours: int16(b - a)}
		c.theta[0], c.rh[0] = float32(th), float32(roomP/air.PsatFast(th))
		w.corners = append(w.corners, c)
	}
	e := climateEntry{hour: int16(h), hours: int16(n)}
	for i := range rh {
		e.theta[i], e.rh[i] = float32(th[i]), float32(rh[i])
	}
	w.entries = append(w.entries, e)
	if w.settling {
		return
	}
	stored := 0.0
	for _, l := range w.y.lining {
		stored += v.LayerWater(l)
	}
	critTheta, critRH := th[PlaceCold], rh[PlaceCold]
	if w.y.exterior {
		critTheta, critRH = v.Climate(w.critical)
	}
	ti, roomP := w.roomAt(h + n/2)
	inward := w.y.paths.sdInward(air.PsatFast(critTheta), ti, roomP, q)
	week := min(h/168, Weeks-1)
	w.weekLen[week] += float64(n)
	for i := range NumPlaces {
		w.week[i][week] += float64(n) * rh[i]
	}
	for a := h; a < until; a += 24 { // models of days take a day at most
		n := min(24, until-a)
		for k, on := range w.c.Timber {
			if i := PlaceTimber + k; on {
				w.humidity[k].Hours(a, n, th[i], rh[i])
				w.moisture[k].Hours(a, n, th[i], rh[i])
			}
		}
		if mean, full := w.day.Add(n, rh[PlaceCold]); full {
			w.coldRH = max(w.coldRH, mean)
		}
	}
	w.lining.Hour(h, stored)
	w.reserve.Hours(h, n, critTheta, critRH, inward, w.y.paths.outward)
	w.freeze(h, until, v)
	w.water += total * float64(n) / damage.HoursPerYear
	for ; w.course != nil && h < until; h++ {
		w.course.add(h, &th, &rh, total, w.places[0].Filling)
	}
}

// follows is the share of a daily swing of the air outside that the face of a thick
// wall goes along with: h/|h + √(iω)·b|, b the effusivity of its material in
// W·√s/(m²·K), h that of ISO 6946. Source: periodic conduction into a half space,
// handbook formula.
func follows(b float64) float64 {
	const day = 86400 // s
	into := b * math.Sqrt(2*math.Pi/day)
	return 1 / math.Hypot(1+planeRse*into/math.Sqrt2, planeRse*into/math.Sqrt2)
}

// freeze feeds frost hour by hour: within an entry the face goes along with the air.
func (w *watcher) freeze(h, until int, v *transient.Solver) {
	theta, fill := v.Filling(w.frostAt)
	air := w.air[h:until]
	mean := stat.Mean(air, nil)
	if theta+w.follows*(slices.Min(air)-mean) >= damage.ThawAt {
		w.frost.Hours(h, until-h, theta, fill)
		return
	}
	for i, th := range air {
		w.frost.Hours(h+i, 1, theta+w.follows*(th-mean), fill)
	}
}

func (c *Course) add(h int, th, rh *[NumPlaces]float64, water, fill float64) {
	d, k := h/24, 1/float64(h%24+1)
	for i := range NumPlaces {
		c.Theta[i][d] += (th[i] - c.Theta[i][d]) * k
		c.RH[i][d] += (rh[i] - c.RH[i][d]) * k
	}
	c.Water[d] += (water - c.Water[d]) * k
	c.Fill[d] += (fill - c.Fill[d]) * k
}

// Years for which the models of slow damage repeat the wall's mean year before the
// judged one: a screening choice of this tool.
const meanYears = 5

// settledIndex is the change of a mould index from year to year that ends the
// repetition: a surface that comes from dry settles sooner.
const settledIndex = 0.02

// slow runs mould and rot over the year at hand, at most n times.
func (w *watcher) slow(n int) {
	w.mould(&w.surface, w.corners, 0, n)
	w.mould(&w.face, w.entries, PlaceCold, n)
	for k := range w.decay {
		d := &w.decay[k]
		for range n {
			if feed(d, w.entries, PlaceTimber+k); d.Idle() {
				break // as in the years to come
			}
		}
	}
}

func (w *watcher) mould(m *damage.Mould, entries []climateEntry, place, n int) {
	for range n {
		before := m.Index()
		if feed(m, entries, place); math.Abs(m.Index()-before) <= settledIndex {
			return
		}
	}
}

// feed runs a model over the year of a place.
func feed(m interface {
	Hours(hour, n int, theta, rh float64)
}, entries []climateEntry, place int) {
	for i := range entries {
		e := &entries[i]
		m.Hours(int(e.hour), int(e.hours), float64(e.theta[place]), float64(e.rh[place]))
	}
}

// roomAt is the temperature (°C) and the vapour pressure (Pa) of the room in an hour.
func (w *watcher) roomAt(hour int) (theta, p float64) {
	theta = w.room.Theta[hour]
	return theta, w.room.RH[hour] * air.PsatFast(theta)
}

// finish ends the judged year and writes the outcome.
func (w *watcher) finish(o *Outcome) {
	w.slow(1)
	o.Insulated, o.LiningAw, o.Masonry = !math.IsNaN(w.y.cold), w.y.aw, w.y.inner-w.y.outer
	o.CornerMould, o.ColdMould = w.surface.Peak(), w.face.Peak()
	o.Condensate = w.lining.Peak()
	o.Condensate.Value = max(0, o.Condensate.Value-w.y.dry)
	o.Reserve = w.reserve.Reserve()
	for k := range TimberClasses {
		o.TimberHumidity[k] = w.humidity[k].Days()
		o.TimberMoisture[k] = w.moisture[k].Peak()
		o.TimberActivation[k], o.TimberLoss[k] = w.decay[k].Activation(), w.decay[k].MassLoss()
	}
	o.Front, o.Frost = w.front.Peak(), w.frost.Year()
	o.Front.Value = max(0, o.Front.Value-w.y.outer)
	o.Water, o.ColdRH = w.water, w.coldRH
	for i := range NumPlaces {
		for k := range Weeks {
			o.Course[i][k] = uint8(max(0, min(255, math.Round(200*w.week[i][k]/max(w.weekLen[k], 1)))))
		}
	}
}
