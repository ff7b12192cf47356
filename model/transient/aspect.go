package transient

import "math"

// Coefficients of inner faces (EN 15026): combined for heat, W/(m²K), and for vapour by
// Lewis from what is left of it without 4.5 W/(m²K) of radiation, kg/(m²·s·Pa).
const (
	indoorH    = 8.0
	indoorBeta = lewis * (indoorH - 4.5)
)

// Gather says how hours are gathered into the entries of a drive, each the mean of
// its hours. Steps may then last an entry; what happens within one is smoothed.
// README.md has the race.
type Gather struct {
	// Hours is the most hours in an entry; 0 or 1 is an entry an hour. Below a day,
	// entries in which a face may freeze or thaw last a third of it at most.
	Hours int
	// Rain takes all rain of such a stretch together in one entry and its dry hours
	// in another. Else an entry holds hours that follow each other, with rain or
	// without, and rain that is much alike: averaged rain wets a wall less.
	Rain bool
}

const (
	// dayBreak is the hour that entries are aligned to: 12 hours from there are
	// a day or a night, where 12 from midnight would mix both.
	dayBreak = 6
	// thaw is the air temperature, °C, below which a face may freeze or thaw in
	// the hour.
	thaw = 2.0
	// alike is the factor that rain of one entry may vary by.
	alike = 4.0
)

// Aspect is what meets a wall that looks one way: a site's weather as it strikes
// that way and an indoor climate, gathered in entries. It is all of a drive that is
// the same for every face that looks there. It is immutable and may be shared.
type Aspect struct {
	means  []exposure
	starts []int     // as those of Drive
	wet    []wetHour // of the entries with rain, in their order
}

// exposure is what an hour brings, in the order of the constants.
type exposure [quantities]float64

const (
	airTheta  = iota // °C
	airP             // Pa
	openWind         // m/s
	diffuse          // W/m² on the horizontal
	global           // likewise
	beam             // W/m², direct sun on the face
	longWave         // W/m², balance of a black face at air temperature
	rain             // kg/(m²·s) through the plane of the face in an open field
	roomTheta        // °C
	roomP            // Pa
	lasts            // hours
	quantities
)

// Aspect gathers the weather that strikes a face looking to azimuth (degrees from
// north, clockwise), with an indoor climate of as many hours.
func (s *Site) Aspect(azimuth float64, in *Indoor, g Gather) *Aspect {
	a := &Aspect{}
	e := entries{Gather: g, Aspect: a}
	look := bearing(azimuth)
	for k := range s.hours {
		th, o := in.Theta[k], &s.hours[k]
		psat, _ := psatExponent(th)
		e.add(&exposure{o.theta, o.p, o.wind, o.diffuse, o.global, o.beam.onto(look), o.sky, o.rain.onto(look),
			th, min(in.RH[k], 1) * 610.5 * exp(psat), 1})
	}
	e.flush()
	a.starts = append(a.starts, len(s.hours))
	return a
}

// Drive is the forcing of a face that looks this way. Outside h = 4 + 4·v with the
// wind that reaches the face (ISO 6946 annex, EN 15026), all of which counts for
// vapour transfer by Lewis.
func (a *Aspect) Drive(f *Face) *Drive {
	d := &Drive{hours: make([]hour, len(a.means)), starts: a.starts}
	face, bounded := runOff{Face: f}, f.RainLimit > 0 || f.Aw > 0
	wet := a.wet
	for k := range a.means {
		m := &a.means[k]
		he := 4 + 4*f.Wind*m[openWind]
		d.hours[k] = hour{
			out: Edge{Theta: m[airTheta], P: m[airP], H: he, Beta: lewis * he, Rain: f.RainCoefficient * m[rain],
				Gain: f.Absorptivity*f.solar(m[beam], m[diffuse], m[global]) + f.Emissivity*m[longWave]},
			in: Edge{Theta: m[roomTheta], P: m[roomP], H: indoorH, Beta: indoorBeta},
		}
		if m[rain] > 0 && bounded {
			n, o := a.starts[k+1]-a.starts[k], &d.hours[k].out
			o.Shed = max(0, o.Rain-face.takes(wet[:n])/float64(n))
			wet = wet[n:]
		}
	}
	return d
}

// wetHour is an hour with rain, kg/(m²·s) through the plane of the face in an open
// field.
type wetHour struct {
	hour int
	rain float64
}

// runOff follows what a face takes of a spell of rain, hour by hour. How much runs off
// depends on how hard it rains, so that it is taken off before hours are averaged. A
// dry face that draws A_w·√t has drawn W after W²/A_w² seconds, whatever rain brought
// it there; a wet one, whose share the engine finds, draws less.
type runOff struct {
	*Face
	last  int     // hour of the spell
	drawn float64 // W, kg/m²
}

// takes returns the sum over some hours of the rain that the face may take, kg/(m²·s).
func (f *runOff) takes(hours []wetHour) (sum float64) {
	for _, h := range hours {
		if h.hour != f.last+1 {
			f.drawn = 0
		}
		most := f.RainCoefficient * h.rain * hourSeconds
		if f.RainLimit > 0 {
			most = min(most, f.RainLimit)
		}
		if f.Aw > 0 {
			most = min(most, math.Sqrt(f.drawn*f.drawn+f.Aw*f.Aw*hourSeconds)-f.drawn)
		}
		f.last, f.drawn = h.hour, f.drawn+most
		sum += most / hourSeconds
	}
	return sum
}

// entries gathers hours.
type entries struct {
	Gather
	*Aspect
	at    int         // hours taken
	first int         // first hour of what is being gathered
	parts [2]exposure // sums, in the order that they began; the second with Rain alone
	rain  float64     // of the first hour
	cold  bool        // freezing may set in or end
}

func (e *entries) add(h *exposure) {
	if e.at > e.first && !e.takes(h) {
		e.flush()
	}
	if e.at == e.first {
		e.rain, e.cold = h[rain], false
	}
	p := &e.parts[0]
	if p[lasts] > 0 && (p[rain] > 0) != (h[rain] > 0) {
		p = &e.parts[1]
	}
	for i, x := range h {
		p[i] += x
	}
	if h[rain] > 0 {
		e.wet = append(e.wet, wetHour{e.at, h[rain]})
	}
	e.cold = e.cold || h[airTheta] < thaw && e.Hours < 24
	e.at++
}

// takes reports whether hour h still belongs to what is being gathered.
func (e *entries) takes(h *exposure) bool {
	if e.Hours <= 1 {
		return false
	}
	n, a, b, r := e.Hours, e.first+24-dayBreak, e.at+24-dayBreak, h[rain]
	if e.cold || h[airTheta] < thaw && e.Hours < 24 {
		n = max(1, n/3)
	}
	return a/n == b/n && a/e.Hours == b/e.Hours && (e.Rain || r == e.rain || r < alike*e.rain && e.rain < alike*r)
}

func (e *entries) flush() {
	for _, p := range e.parts {
		n := p[lasts]
		if n == 0 {
			continue
		}
		for i := range p {
			p[i] /= n
		}
		e.means, e.starts = append(e.means, p), append(e.starts, e.first)
		e.first += int(n)
	}
	e.parts = [2]exposure{}
}
