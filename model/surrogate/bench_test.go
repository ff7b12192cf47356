package surrogate_test

import (
	"math"
	"testing"

	"wallsift/model/sampling"
	"wallsift/model/surrogate"
)

// portfolio is 8 outputs of 16 features that share some and not others, with
// kinks and floors as utilisations have them.
func portfolio(n int) (x, y [][]float64) {
	x = sampling.Points(n, 16, 1)
	for _, r := range x {
		row := make([]float64, 8)
		for o := range row {
			at := func(j int) float64 { return r[(j+3*o)%16] }
			v := friedman([]float64{at(0), at(1), at(2), at(3), at(4)})/8 - 1.5
			row[o] = math.Max(v, -1+0.5*at(5)*at(6))
		}
		y = append(y, row)
	}
	return x, y
}

func BenchmarkFit400(b *testing.B) {
	x, y := portfolio(400)
	for b.Loop() {
		if _, _, err := surrogate.Fit(x, y, surrogate.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPredict400(b *testing.B) {
	x, y := portfolio(400)
	for _, c := range []struct {
		name   string
		shapes int
	}{{"one_kernel", 1}, {"three_kernels", 3}, {"eight_kernels", 8}} {
		b.Run(c.name, func(b *testing.B) {
			s, _, err := surrogate.Fit(x, y, surrogate.Options{Shapes: c.shapes})
			if err != nil {
				b.Fatal(err)
			}
			out, scratch := make([]float64, s.Outputs()), s.NewScratch()
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				s.Predict(x[i%len(x)], out, scratch)
			}
		})
	}
}
