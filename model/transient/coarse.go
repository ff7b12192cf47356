package transient

import "slices"

// Coarse returns a drive in which hours without rain are averaged in blocks of
// at most n (≥ 1), aligned to multiples of n hours; hours with rain stay single,
// because averaged rain wets a wall less. Steps may then last n hours, and a
// year costs several times less; what happens within a block is smoothed.
func (d *Drive) Coarse(n int) *Drive {
	if d.starts != nil || n <= 1 {
		return d
	}
	c := &Drive{contact: d.contact}
	for k := 0; k < len(d.hours); {
		to := k + 1
		for to < len(d.hours) && to%n != 0 && d.hours[to].out.Rain == 0 && d.hours[k].out.Rain == 0 {
			to++
		}
		var mean hour
		for i := k; i < to; i++ {
			mean.out.add(&d.hours[i].out)
			mean.in.add(&d.hours[i].in)
		}
		mean.out.scale(1 / float64(to-k))
		mean.in.scale(1 / float64(to-k))
		c.hours, c.starts = append(c.hours, mean), append(c.starts, k)
		k = to
	}
	c.starts = append(c.starts, len(d.hours))
	return c
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

func (e *Edge) add(o *Edge) {
	e.Theta += o.Theta
	e.P += o.P
	e.H += o.H
	e.Beta += o.Beta
	e.Gain += o.Gain
	e.Rain += o.Rain
}

func (e *Edge) scale(f float64) {
	e.Theta *= f
	e.P *= f
	e.H *= f
	e.Beta *= f
	e.Gain *= f
	e.Rain *= f
}
