package surrogate

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// features turns a row of the caller's features into standardised ones and
// into the terms of the trend.
type features struct {
	width    int       // features in the caller's row
	keep     []int     // those that vary
	mean, sd []float64 // by kept feature
	lo, hi   []float64 // range allowed to z, margin included
	square   []int     // kept features with more than two values: z² says something new
	qm, qs   []float64 // mean and deviation of z² for each of square
}

func newFeatures(x [][]float64, margin float64) features {
	f := features{width: len(x[0])}
	col := make([]float64, len(x))
	for j := range f.width {
		for i, row := range x {
			col[i] = row[j]
		}
		least, most := floats.Min(col), floats.Max(col)
		// A spread of a few ulps is rounding of a constant.
		if most-least <= 1e-12*max(math.Abs(least), math.Abs(most)) {
			continue
		}
		mean, sd := stat.MeanStdDev(col, nil)
		f.keep = append(f.keep, j)
		f.mean = append(f.mean, mean)
		f.sd = append(f.sd, sd)
		room := margin * (most - least)
		f.lo = append(f.lo, (least-room-mean)/sd)
		f.hi = append(f.hi, (most+room-mean)/sd)
		if !threeValues(col) {
			continue
		}
		for i := range col {
			z := (col[i] - mean) / sd
			col[i] = z * z
		}
		if qm, qs := stat.MeanStdDev(col, nil); qs > 1e-9 {
			f.square = append(f.square, len(f.keep)-1)
			f.qm = append(f.qm, qm)
			f.qs = append(f.qs, qs)
		}
	}
	return f
}

func threeValues(col []float64) bool {
	a, b, two := col[0], 0.0, false
	for _, v := range col {
		switch {
		case v == a || two && v == b:
		case two:
			return true
		default:
			b, two = v, true
		}
	}
	return false
}

// standardise writes z, clamped to the allowed range. NaN stays NaN.
func (f *features) standardise(x, z []float64) {
	for k, j := range f.keep {
		z[k] = min(max((x[j]-f.mean[k])/f.sd[k], f.lo[k]), f.hi[k])
	}
}

// terms is the count of trend terms: 1, each z, each square.
func (f *features) terms() int { return 1 + len(f.keep) + len(f.square) }

func (f *features) trend(z, h []float64) {
	h[0] = 1
	p := copy(h[1:], z) + 1
	for k, j := range f.square {
		h[p+k] = (z[j]*z[j] - f.qm[k]) / f.qs[k]
	}
}

// design gives z and the trend terms of all rows.
func (f *features) design(x [][]float64) (z, h *mat.Dense) {
	h = mat.NewDense(len(x), f.terms(), nil)
	if len(f.keep) > 0 {
		z = mat.NewDense(len(x), len(f.keep), nil)
	}
	for i, row := range x {
		var zi []float64
		if z != nil {
			zi = z.RawRowView(i)
		}
		f.standardise(row, zi)
		f.trend(zi, h.RawRowView(i))
	}
	return z, h
}
