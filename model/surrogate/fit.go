package surrogate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Options of [Fit]. The zero value is good.
type Options struct {
	// MinRows is the least count of rows an output needs; 0 means 50.
	MinRows int
	// Margin widens the range in which features are not clamped, on each side,
	// as a share of the training range; 0 means 0.1, a negative one means none.
	Margin float64
	// Shapes is the most kernels in use; 0 means 3. Outputs that depend on
	// different features want different kernels, each kernel costs time to fit
	// and to ask. With 1 all outputs share one.
	Shapes int
}

// Fit makes a surface of n rows of features x (n × d) and outputs y (n × m),
// meant for n from 50 to 1000, d up to 24, m up to 12; the time grows with the
// cube of n. y holds natural logarithms of utilisations, finite; NaN says that
// the output does not apply to the row. An output with fewer rows than
// Options.MinRows is not available; it is an error if none is. Categories must
// come as numbers that mean something, or as 0/1 columns.
//
// The result is the same to the bit for any order of rows. Features may be in
// any unit.
func Fit(x, y [][]float64, opt Options) (*Surface, Quality, error) {
	if err := validate(x, y); err != nil {
		return nil, Quality{}, err
	}
	if opt.MinRows <= 0 {
		opt.MinRows = 50
	}
	if opt.Margin == 0 {
		opt.Margin = 0.1
	}
	if opt.Shapes <= 0 {
		opt.Shapes = 3
	}
	given := len(x)
	x, y = canonical(x, y)
	f := newFeatures(x, max(opt.Margin, 0))
	z, h := f.design(x)
	n, m := len(x), len(y[0])
	s := &Surface{features: f, beta: general(m, f.terms()), offset: make([]float64, m)}
	q := Quality{Rows: n, Merged: given - n, Features: len(f.keep), Outputs: make([]OutputQuality, m)}
	blocks, spread := makeBlocks(s, &q, z, h, y, opt.MinRows)
	if !slices.ContainsFunc(q.Outputs, func(o OutputQuality) bool { return o.Available }) {
		return nil, q, fmt.Errorf("surrogate: no output is present in %d distinct rows (of %d given, %d distinct); run the model on more rows",
			opt.MinRows, given, n)
	}
	for _, outputs := range kindred(blocks, &f, opt.Shapes) {
		own := choose(blocks, outputs)
		form := searchShape(own, &f)
		c := newChannel(&form, z, outputs)
		for k := range own {
			c.settle(s, &q, &own[k], &form, y, spread)
		}
		if z != nil {
			s.channels = append(s.channels, c)
		}
	}
	q.Shapes = len(s.channels)
	return s, q, nil
}

// makeBlocks sorts the outputs by the rows they are present in, standardises
// them, and settles those that need no fit: constant ones, and ones with too
// few rows. spread is the deviation by output.
func makeBlocks(s *Surface, q *Quality, z, h *mat.Dense, y [][]float64, minRows int) (blocks []block, spread []float64) {
	n, m := len(y), len(s.offset)
	whole := block{z: z, h: h}
	at := map[string]int{} // block by the rows it has
	spread = make([]float64, m)
	for o := range m {
		mask := make([]byte, n)
		var rows []int
		var values []float64
		for i := range y {
			if v := y[i][o]; !math.IsNaN(v) {
				mask[i] = 1
				rows = append(rows, i)
				values = append(values, v)
			}
		}
		q.Outputs[o].Rows = len(rows)
		if len(rows) < minRows {
			s.offset[o] = math.NaN()
			continue
		}
		q.Outputs[o].Available = true
		mean, sd := stat.MeanStdDev(values, nil)
		if sd <= 1e-12*max(1, math.Abs(mean)) {
			s.offset[o] = mean
			q.Outputs[o].LOO = agreement(values, values)
			continue
		}
		s.offset[o], spread[o] = mean, sd
		k, seen := at[string(mask)]
		if !seen {
			k = len(blocks)
			at[string(mask)] = k
			blocks = append(blocks, whole.pick(rows))
			blocks[k].rows = rows
		}
		blocks[k].outputs = append(blocks[k].outputs, o)
	}
	for k := range blocks {
		b := &blocks[k]
		b.y = mat.NewDense(len(b.rows), len(b.outputs), nil)
		for c, o := range b.outputs {
			for i, r := range b.rows {
				b.y.Set(i, c, (y[r][o]-s.offset[o])/spread[o])
			}
		}
	}
	return blocks, spread
}

// pick returns the block with the rows named by their place in it.
func (b *block) pick(places []int) block {
	out := block{outputs: b.outputs, z: pickRows(b.z, places), h: pickRows(b.h, places), y: pickRows(b.y, places)}
	if b.rows != nil {
		for _, i := range places {
			out.rows = append(out.rows, b.rows[i])
		}
	}
	return out
}

func pickRows(a *mat.Dense, places []int) *mat.Dense {
	if a == nil {
		return nil
	}
	_, c := a.Dims()
	out := mat.NewDense(len(places), c, nil)
	for to, from := range places {
		out.SetRow(to, a.RawRowView(from))
	}
	return out
}

func newChannel(form *shape, z *mat.Dense, outputs []int) channel {
	c := channel{outputs: outputs, kernel: form.kernel, scale: form.scales()}
	if z == nil {
		return c
	}
	u := scaleColumns(z, c.scale)
	n, _ := u.Dims()
	c.u, c.norm, c.alpha = u.RawMatrix(), make([]float64, n), general(len(outputs), n)
	for i := range c.norm {
		for _, v := range u.RawRowView(i) {
			c.norm[i] += v * v
		}
	}
	return c
}

// settle fits the outputs of a block in the shape of the channel and writes
// them into the surface. Rows the block does not have keep the weight 0.
func (c *channel) settle(s *Surface, q *Quality, b *block, form *shape, y [][]float64, spread []float64) {
	tau := form.variances(s.features.terms())
	relevance := make([]float64, s.features.width)
	for k, j := range s.features.keep {
		relevance[j] = sq(form.weight[k]) / float64(len(form.weight))
	}
	for k, fit := range b.solve(form.gram(b.z, b.h), finalRidges) {
		o := b.outputs[k]
		beta := s.beta.Data[o*s.beta.Stride : (o+1)*s.beta.Stride]
		predicted, truth := make([]float64, len(b.rows)), make([]float64, len(b.rows))
		for i, r := range b.rows {
			alpha := fit.alpha[i] * spread[o]
			for t, v := range b.h.RawRowView(i) {
				beta[t] += tau[t] * v * alpha
			}
			if c.norm != nil {
				c.alpha.Data[slices.Index(c.outputs, o)*c.alpha.Stride+r] = alpha
			}
			truth[i] = y[r][o]
			predicted[i] = truth[i] + fit.err[i]*spread[o]
		}
		q.Outputs[o].Ridge = fit.ridge
		q.Outputs[o].LOO = agreement(predicted, truth)
		q.Outputs[o].Relevance = relevance
	}
}

func general(rows, cols int) blas64.General {
	return blas64.General{Rows: rows, Cols: cols, Stride: cols, Data: make([]float64, rows*cols)}
}
