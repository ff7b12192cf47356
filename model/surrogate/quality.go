package surrogate

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Quality says what a surface was made of and what leaving each row out in
// turn showed. Its errors are too good, because the shape was chosen by them
// and the relevance drawn from all rows: hardly so with hundreds of rows, by a
// factor of up to about 2 with three or four rows for each feature. Judge a
// surface by [Check] on rows it has not seen.
type Quality struct {
	Rows     int             // rows the surface was fitted to
	Merged   int             // rows left out because an equal one (features and outputs) was there
	Features int             // features that vary
	Shapes   int             // kernels in use
	Outputs  []OutputQuality // by output
}

// OutputQuality is the part of [Quality] that belongs to one output.
type OutputQuality struct {
	Available bool      // false: too few rows, predictions are NaN
	Rows      int       // rows in which the output is present, merged ones not counted
	Ridge     float64   // relative to the variance of the radial kernel; 0 for a constant output
	LOO       Agreement // leave one out
	// Relevance is the share of each of the caller's features in the squared
	// distance of the kernel, sum 1; 0 if constant. Outputs of one kernel have
	// the same. What the trend carries does not count.
	Relevance []float64
}

// Agreement compares predictions with the truth for one output, both as
// natural logarithms of utilisations. With Count 0 all else is 0.
type Agreement struct {
	Count int     // rows compared
	RMS   float64 // root mean square of prediction − truth
	Bias  float64 // mean of prediction − truth
	P95   float64 // 95th percentile of |prediction − truth|
	// WrongSide is the share of rows where prediction and truth lie on
	// different sides of the limit. log u = 0 counts as kept.
	WrongSide float64
	// Clear counts the rows whose prediction is farther from the limit than
	// RMS: those a user of the surface would believe.
	Clear int
	// ClearWrong is the share of Clear on the wrong side.
	ClearWrong float64
}

func agreement(predicted, truth []float64) Agreement {
	n := len(truth)
	if n == 0 {
		return Agreement{}
	}
	a := Agreement{Count: n}
	abs := make([]float64, n)
	sum := 0.0
	for i, t := range truth {
		e := predicted[i] - t
		abs[i] = math.Abs(e)
		a.Bias += e / float64(n)
		sum += e * e
	}
	a.RMS = math.Sqrt(sum / float64(n))
	slices.Sort(abs)
	a.P95 = stat.Quantile(0.95, stat.Empirical, abs, nil)
	wrong, clearWrong := 0, 0
	for i, t := range truth {
		p := predicted[i]
		miss := (p > 0) != (t > 0)
		if miss {
			wrong++
		}
		if math.Abs(p) > a.RMS {
			a.Clear++
			if miss {
				clearWrong++
			}
		}
	}
	a.WrongSide = float64(wrong) / float64(n)
	if a.Clear > 0 {
		a.ClearWrong = float64(clearWrong) / float64(a.Clear)
	}
	return a
}

// Check holds the surface against rows it was not fitted to. x and y are as in
// [Fit]; NaN in y is passed over, outputs that are not available have Count 0.
// Rows of another width panic. A NaN feature gives NaN figures, not silence.
func Check(s *Surface, x, y [][]float64) []Agreement {
	if len(x) != len(y) {
		panic(fmt.Sprintf("surrogate: %d rows of features, %d rows of outputs", len(x), len(y)))
	}
	m := s.Outputs()
	predicted, truth := make([][]float64, m), make([][]float64, m)
	out, scratch := make([]float64, m), s.NewScratch()
	for i := range x {
		s.Predict(x[i], out, scratch)
		if len(y[i]) != m {
			panic(fmt.Sprintf("surrogate: row %d has %d outputs, the surface has %d", i, len(y[i]), m))
		}
		for o, t := range y[i] {
			if !math.IsNaN(t) && s.Available(o) {
				predicted[o] = append(predicted[o], out[o])
				truth[o] = append(truth[o], t)
			}
		}
	}
	as := make([]Agreement, m)
	for o := range as {
		as[o] = agreement(predicted[o], truth[o])
	}
	return as
}
