package transient

import "slices"

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
	hours   []hour     // the entries
	starts  []int      // first hour of each, and the length
	contact [2]contact // outer and inner face
}

// contact puts a face in touch with free water or, at a given suction, with a
// wet body, whatever its coat: the capillary boundary of the benchmarks.
type contact struct {
	on bool
	u  float64
}

// Hours returns the length of the drive in hours.
func (d *Drive) Hours() int { return d.starts[len(d.hours)] }

// EachRain calls f with the first hour and the driving rain (kg/m²) of every
// entry of the drive that has rain.
func (d *Drive) EachRain(f func(hour int, rain float64)) {
	for k := range d.hours {
		if r := d.hours[k].out.Rain; r > 0 {
			f(d.starts[k], r*float64(d.length(k))*hourSeconds)
		}
	}
}

// length returns the hours entry k stands for.
func (d *Drive) length(k int) int { return d.starts[k+1] - d.starts[k] }

// entry returns the entry that begins at hour h, or the one h lies in.
func (d *Drive) entry(h int) int {
	k, found := slices.BinarySearch(d.starts, h%d.Hours())
	if !found {
		k--
	}
	return k
}

// at sets f to the forcing at fraction x (0–1) of entry k: linear between the
// middles of the entries, rain constant within one.
func (d *Drive) at(k int, x float64, f *hour) {
	// a and b are the entries whose middles the time lies between, w the share
	// of b.
	n := len(d.hours)
	a, b, w := k, (k+1)%n, x-0.5
	if x < 0.5 {
		a, b = (k+n-1)%n, k
	}
	w *= 2 * float64(d.length(k)) / float64(d.length(a)+d.length(b))
	if x < 0.5 {
		w++
	}
	f.out.between(&d.hours[a].out, &d.hours[b].out, w)
	f.in.between(&d.hours[a].in, &d.hours[b].in, w)
	f.out.Rain, f.out.Shed = d.hours[k].out.Rain, d.hours[k].out.Shed
}

// between sets e to (1 − w)·a + w·b, but for the rain.
func (e *Edge) between(a, b *Edge, w float64) {
	v := 1 - w
	e.Theta = v*a.Theta + w*b.Theta
	e.P = v*a.P + w*b.P
	e.Gain = v*a.Gain + w*b.Gain
	e.H, e.Beta = a.H, a.Beta
	if a.H != b.H { // also keeps Inf from turning into NaN
		e.H = v*a.H + w*b.H
	}
	if a.Beta != b.Beta {
		e.Beta = v*a.Beta + w*b.Beta
	}
}
