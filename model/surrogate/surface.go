package surrogate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// Surface is a fitted response surface. It does not change after [Fit]; any
// number of goroutines may use it, each with a Scratch of its own.
type Surface struct {
	features features
	channels []channel
	beta     blas64.General // outputs × trend terms, in units of the output
	offset   []float64      // by output; NaN where the output is not available
}

// channel is the radial part of the outputs that share a shape.
type channel struct {
	outputs []int // of the surface
	kernel  kernel
	scale   []float64      // z to u
	u       blas64.General // rows × kept features
	norm    []float64      // |u_i|²
	alpha   blas64.General // outputs of the channel × rows, in units of the output
}

// Scratch is the working memory of one goroutine for one Surface.
type Scratch struct {
	z, u, h, k, y []float64
}

// NewScratch returns working memory for [Surface.Predict].
func (s *Surface) NewScratch() *Scratch {
	p := len(s.features.keep)
	rows := 0
	for c := range s.channels {
		rows = len(s.channels[c].norm)
	}
	return &Scratch{
		z: make([]float64, p),
		u: make([]float64, p),
		h: make([]float64, s.features.terms()),
		k: make([]float64, rows),
		y: make([]float64, len(s.offset)),
	}
}

// Features returns the width of the rows the surface takes.
func (s *Surface) Features() int { return s.features.width }

// Outputs returns the count of outputs of a prediction.
func (s *Surface) Outputs() int { return len(s.offset) }

// Predict writes the surface at x into out, in the units of the y it was
// fitted to. x has Features values, out has Outputs values; other lengths
// panic. Outputs that are not available are NaN. Features that were constant
// in training are ignored, the others are clamped to their widened training
// range; NaN in one of them makes every output NaN. It does not allocate.
func (s *Surface) Predict(x, out []float64, scratch *Scratch) {
	if len(x) != s.features.width || len(out) != len(s.offset) {
		panic(fmt.Sprintf("surrogate: %d features and %d outputs given, the surface has %d and %d",
			len(x), len(out), s.features.width, len(s.offset)))
	}
	s.features.standardise(x, scratch.z)
	s.features.trend(scratch.z, scratch.h)
	copy(out, s.offset)
	blas64.Gemv(blas.NoTrans, 1, s.beta, vector(scratch.h), 1, vector(out))
	for c := range s.channels {
		s.channels[c].add(out, scratch)
	}
}

// add adds the radial part at scratch.z to the outputs of the channel.
func (c *channel) add(out []float64, scratch *Scratch) {
	u, k, y := scratch.u, scratch.k, scratch.y[:len(c.outputs)]
	norm := 0.0
	for j, v := range scratch.z {
		u[j] = v * c.scale[j]
		norm += u[j] * u[j]
	}
	blas64.Gemv(blas.NoTrans, -2, c.u, vector(u), 0, vector(k))
	for i, v := range c.norm {
		k[i] += v + norm
	}
	c.kernel.apply(k)
	blas64.Gemv(blas.NoTrans, 1, c.alpha, vector(k), 0, vector(y))
	for i, o := range c.outputs {
		out[o] += y[i]
	}
}

// Available says whether output o was fitted.
func (s *Surface) Available(o int) bool { return !math.IsNaN(s.offset[o]) }

func vector(v []float64) blas64.Vector { return blas64.Vector{N: len(v), Inc: 1, Data: v} }

// Likeness returns how alike two rows of features are to output o: 1 for equal
// rows, falling to 0 with their distance in the kernel of the output; 0 where it
// has none. Rows of another width panic.
func (s *Surface) Likeness(o int, a, b []float64, scratch *Scratch) float64 {
	for k := range s.channels {
		c := &s.channels[k]
		if !slices.Contains(c.outputs, o) {
			continue
		}
		s.features.standardise(a, scratch.z)
		s.features.standardise(b, scratch.u)
		d := 0.0
		for j, v := range scratch.z {
			d += sq((v - scratch.u[j]) * c.scale[j])
		}
		one := [1]float64{d}
		c.kernel.apply(one[:])
		return one[0]
	}
	return 0
}
