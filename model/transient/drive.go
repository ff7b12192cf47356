package transient

import (
	"fmt"
	"slices"
)

// Edge is the state of one boundary. H may be +Inf (the face is held at Theta),
// Beta may be +Inf (the face is held at P); zero closes the path.
type Edge struct {
	Theta float64 // air temperature, °C
	P     float64 // vapour pressure, Pa
	H     float64 // combined heat transfer coefficient, W/(m²K)
	Beta  float64 // vapour transfer coefficient, kg/(m²·s·Pa)
	Gain  float64 // radiation absorbed beyond the combined coefficient, W/m²
	Rain  float64 // driving rain on the face, kg/(m²·s)
	Shed  float64 // of it, what runs off before the wall meets it, see Face
}

// hour is one hour's forcing.
type hour struct{ out, in Edge }

// Drive is the forcing of a wall. It is immutable and may be shared by solvers
// in different goroutines. Beyond its last hour it starts again.
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

// Hours returns the length of the drive in hours.
func (d *Drive) Hours() int {
	if d.starts == nil {
		return len(d.hours)
	}
	return d.starts[len(d.hours)]
}

// EachRain calls f with the first hour and the driving rain (kg/m²) of every
// entry of the drive that has rain.
func (d *Drive) EachRain(f func(hour int, rain float64)) {
	at := 0
	for k := range d.hours {
		n := d.length(k)
		if r := d.hours[k].out.Rain; r > 0 {
			f(at, r*float64(n)*hourSeconds)
		}
		at += n
	}
}

// length returns the hours entry k stands for.
func (d *Drive) length(k int) int {
	if d.starts == nil {
		return 1
	}
	return d.starts[k+1] - d.starts[k]
}

// entry returns the entry that begins at hour h, or the one h lies in.
func (d *Drive) entry(h int) int {
	h %= d.Hours()
	if d.starts == nil {
		return h
	}
	k, found := slices.BinarySearch(d.starts, h)
	if !found {
		k--
	}
	return k
}

// at sets f to the forcing at fraction x (0–1) of entry k: linear between the
// middles of the entries, rain constant within one.
func (d *Drive) at(k int, x float64, f *hour) {
	n := len(d.hours)
	if n == 1 {
		*f = d.hours[0]
		return
	}
	// a and b are the entries whose middles the time lies between, w the share
	// of b.
	a, b, w := k, k+1, x-0.5
	if x < 0.5 {
		a, b = k-1, k
	}
	if a < 0 {
		a = n - 1
	}
	if b == n {
		b = 0
	}
	if d.starts != nil {
		w *= 2 * float64(d.length(k)) / float64(d.length(a)+d.length(b))
	}
	if x < 0.5 {
		w++
	}
	f.out.between(&d.hours[a].out, &d.hours[b].out, w)
	f.in.between(&d.hours[a].in, &d.hours[b].in, w)
	f.out.Rain, f.out.Shed = d.hours[k].out.Rain, d.hours[k].out.Shed
}

// between sets e to (1 − w)·a + w·b.
func (e *Edge) between(a, b *Edge, w float64) {
	v := 1 - w
	e.Theta = v*a.Theta + w*b.Theta
	e.P = v*a.P + w*b.P
	e.Gain = v*a.Gain + w*b.Gain
	e.Rain = v*a.Rain + w*b.Rain
	e.H, e.Beta = a.H, a.Beta
	if a.H != b.H { // also keeps Inf from turning into NaN
		e.H = v*a.H + w*b.H
	}
	if a.Beta != b.Beta {
		e.Beta = v*a.Beta + w*b.Beta
	}
}
