package transient

import (
	"fmt"
	"math"

	"wallsift/model/air"
)

// Edge is the state of one boundary. H may be +Inf (the face is held at Theta),
// Beta may be +Inf (the face is held at P); zero closes the path.
type Edge struct {
	Theta float64 // air temperature, °C
	P     float64 // vapour pressure, Pa
	H     float64 // combined heat transfer coefficient, W/(m²K)
	Beta  float64 // vapour transfer coefficient, kg/(m²·s·Pa)
	Gain  float64 // radiation absorbed beyond the combined coefficient, W/m²
	Rain  float64 // liquid offered to the face, kg/(m²·s)
}

// hour is one hour's forcing.
type hour struct{ out, in Edge }

// Drive is the forcing of a wall, compiled from weather and indoor climate. It
// is immutable and may be shared by solvers in different goroutines. Beyond its
// last hour it starts again.
type Drive struct {
	hours   []hour
	starts  []int      // first hour of each entry and the length; nil: an hour each
	contact [2]contact // outer and inner face
}

// contact puts a face in touch with free water or, at a given suction, with a
// wet body: the capillary boundary of the benchmarks.
type contact struct {
	on bool
	u  float64
}

// Side names a face of the wall.
type Side int

// The two faces.
const (
	Outer Side = iota
	Inner
)

// Hours returns the length of the drive in hours.
func (d *Drive) Hours() int {
	if d.starts == nil {
		return len(d.hours)
	}
	return d.starts[len(d.hours)]
}

// lewis is β/h_c (Künzel 1995), kg/(m²·s·Pa) per W/(m²K).
const lewis = 7e-9

// Indoor is the hourly indoor climate, slices as long as the weather's.
type Indoor struct {
	Theta []float64 // °C
	RH    []float64 // 0–1
	H     float64   // W/(m²K); 0 means 8 (EN 15026)
}

// NewDrive compiles weather on a face and an indoor climate. Outside
// h = 4 + 4·v with the wind that reaches the face, all of which counts for vapour transfer by Lewis; from a fixed
// combined coefficient and from the inside one 4.5 W/m²K of radiation is taken
// off first (h_i = 8 gives β_i = 2.5e-8). Precipitation below 0 °C is snow and
// does not wet the face (common practice, no source).
func NewDrive(w *Weather, f *Face, in *Indoor) (*Drive, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	n := len(w.Theta)
	if len(in.Theta) != n || len(in.RH) != n {
		return nil, fmt.Errorf("transient: indoor climate has %d temperatures and %d humidities, weather has %d hours", len(in.Theta), len(in.RH), n)
	}
	hi := in.H
	if hi == 0 {
		hi = 8
	}
	d := &Drive{hours: make([]hour, n)}
	for k := range d.hours {
		if !(in.Theta[k] > -40 && in.Theta[k] < 70 && in.RH[k] >= 0 && in.RH[k] <= 1.001) {
			return nil, fmt.Errorf("transient: indoor climate in hour %d: %g °C, RH %g, expected −40…70 and 0…1", k, in.Theta[k], in.RH[k])
		}
		he := f.FilmCoefficient
		hc := math.Max(4, he-4.5)
		if he == 0 {
			he = 4 + 4*f.Wind*at(w.Wind, k)
			hc = he
		}
		rain := 0.0
		if w.Theta[k] > 0 {
			rain = f.DrivingRain(at(w.Rain, k), at(w.Wind, k), at(w.WindFrom, k))
		}
		gain := f.Absorptivity * f.Solar(float64(k)+0.5, at(w.DirectNormal, k), at(w.Diffuse, k), at(w.Global, k))
		if w.SkyTheta != nil {
			// A wall sees the sky with half its view; the ground is taken at
			// air temperature, which the combined coefficient covers.
			ts, te := w.SkyTheta[k]+air.KelvinOffset, w.Theta[k]+air.KelvinOffset
			gain += 0.5 * f.Emissivity * stefan * (ts*ts*ts*ts - te*te*te*te)
		}
		d.hours[k] = hour{
			out: Edge{Theta: w.Theta[k], P: math.Min(w.RH[k], 1) * air.Psat(w.Theta[k]), H: he,
				Beta: lewis * hc, Gain: gain, Rain: rain},
			in: Edge{Theta: in.Theta[k], P: math.Min(in.RH[k], 1) * air.Psat(in.Theta[k]), H: hi, Beta: lewis * math.Max(2.5, hi-4.5)},
		}
	}
	return d, nil
}

// NewConstantDrive holds both edges constant.
func NewConstantDrive(out, in Edge) *Drive { return &Drive{hours: []hour{{out, in}}} }

// NewEdgeDrive runs hourly edges given directly (benchmarks, other climates).
func NewEdgeDrive(out, in []Edge) (*Drive, error) {
	if len(out) == 0 || len(out) != len(in) {
		return nil, fmt.Errorf("transient: %d outer and %d inner edges; need as many of each, at least one", len(out), len(in))
	}
	d := &Drive{hours: make([]hour, len(out))}
	for k := range out {
		d.hours[k] = hour{out[k], in[k]}
	}
	return d, nil
}

// WithContact returns a copy of d with one face touching water at suction s
// (Pa; 0 is free water), whatever its coat.
func (d *Drive) WithContact(side Side, s float64) *Drive {
	c := *d
	c.contact[side] = contact{true, uOfS(s)}
	return &c
}

func (d *Drive) wets() bool { return d.contact[Outer].on || d.contact[Inner].on }

// at sets f to the forcing at fraction x (0–1) of entry k: linear between the
// middles of the entries, rain constant within one.
func (d *Drive) at(k int, x float64, f *hour) {
	n := len(d.hours)
	if n == 1 {
		*f = d.hours[0]
		return
	}
	a, b := k, k+1
	if x < 0.5 {
		a, b = k-1, k
	}
	if a < 0 {
		a = n - 1
	}
	if b == n {
		b = 0
	}
	w := x - 0.5
	if x < 0.5 {
		w = x + 0.5
	}
	if d.starts != nil {
		la, lb, own := float64(d.length(a)), float64(d.length(b)), float64(d.length(k))
		w = (x - 0.5) * own * 2 / (la + lb)
		if x < 0.5 {
			w++
		}
	}
	mix(&f.out, &d.hours[a].out, &d.hours[b].out, w)
	mix(&f.in, &d.hours[a].in, &d.hours[b].in, w)
	f.out.Rain, f.in.Rain = d.hours[k].out.Rain, 0
}

func mix(dst, a, b *Edge, w float64) {
	v := 1 - w
	dst.Theta = v*a.Theta + w*b.Theta
	dst.P = v*a.P + w*b.P
	dst.Gain = v*a.Gain + w*b.Gain
	dst.H, dst.Beta = a.H, a.Beta
	if a.H != b.H { // also keeps Inf from turning into NaN
		dst.H = v*a.H + w*b.H
	}
	if a.Beta != b.Beta {
		dst.Beta = v*a.Beta + w*b.Beta
	}
}
