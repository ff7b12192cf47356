package surrogate

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/mat"
)

// rough is a model with a kink, an interaction and an idle feature.
func rough(x []float64) float64 {
	return math.Max(math.Sin(3*x[0])+x[1]*x[2], 0.4) + 0.1*x[3]
}

func sample(n int, seed uint64) (x, y [][]float64) {
	r := rand.New(rand.NewPCG(seed, 0))
	for range n {
		row := []float64{r.Float64(), 40 * r.Float64(), r.NormFloat64(), 1e-6 * r.Float64(), float64(r.IntN(2))}
		unit := []float64{row[0], row[1] / 40, row[2], row[3] * 1e6}
		x = append(x, row)
		y = append(y, []float64{rough(unit), rough(unit) - 2*row[4], math.Exp(unit[0])})
	}
	return x, y
}

// The closed form must equal fits that really leave each row out. The refit
// uses gonum's LU on its own matrix, so nothing of solve is shared.
func TestLeaveOneOut(t *testing.T) {
	for k := range kernels {
		x, y := sample(60, 7)
		f := newFeatures(x, 0.1)
		z, h := f.design(x)
		s := &Surface{offset: make([]float64, 3)}
		q := &Quality{Outputs: make([]OutputQuality, 3)}
		blocks, _ := makeBlocks(s, q, z, h, y, 10)
		if len(blocks) != 1 {
			t.Fatalf("%d blocks, expected 1", len(blocks))
		}
		b := blocks[0]
		form := plainShape(len(f.keep))
		form.kernel, form.length = k, 0.6
		form.weight = normalise([]float64{3, 2, 2, 1, 0.5})
		const ridge = 0.02
		gram := form.gram(z, h)
		fits := b.solve(gram, []float64{ridge})
		n := len(x)
		for left := range n {
			g := mat.NewDense(n-1, n-1, nil)
			right := mat.NewDense(n-1, 3, nil)
			cross := mat.NewDense(1, n-1, nil)
			at := func(i int) int { // row i of the smaller system
				if i >= left {
					return i + 1
				}
				return i
			}
			for i := range n - 1 {
				for j := range n - 1 {
					g.Set(i, j, gram.At(at(i), at(j)))
				}
				g.Set(i, i, g.At(i, i)+ridge)
				right.SetRow(i, b.y.RawRowView(at(i)))
				cross.Set(0, i, gram.At(left, at(i)))
			}
			var alpha, predicted mat.Dense
			if err := alpha.Solve(g, right); err != nil {
				t.Fatal(err)
			}
			predicted.Mul(cross, &alpha)
			for o := range 3 {
				want := predicted.At(0, o) - b.y.At(left, o)
				if got := fits[o].err[left]; math.Abs(got-want) > 1e-8 {
					t.Errorf("kernel %d, row %d, output %d: closed form %v, refit %v", k, left, o, got, want)
				}
			}
		}
	}
}

// In solve, K·α = y − ridge·α. Predict at the training rows must give the same
// through its own arithmetic, for outputs of different masks and kernels.
func TestPredictAtRows(t *testing.T) {
	x, y := sample(120, 3)
	for i := range y {
		if i%5 == 0 {
			y[i][1] = math.NaN()
		}
	}
	for _, shapes := range []int{1, 3} {
		s, q, err := Fit(x, y, Options{Shapes: shapes})
		if err != nil {
			t.Fatal(err)
		}
		cx, cy := canonical(x, y)
		out, scratch := make([]float64, 3), s.NewScratch()
		for _, c := range s.channels {
			for k, o := range c.outputs {
				for i := range cx {
					if math.IsNaN(cy[i][o]) {
						if a := c.alpha.Data[k*c.alpha.Stride+i]; a != 0 {
							t.Errorf("output %d, row %d is missing and has weight %v", o, i, a)
						}
						continue
					}
					s.Predict(cx[i], out, scratch)
					want := cy[i][o] - q.Outputs[o].Ridge*c.alpha.Data[k*c.alpha.Stride+i]
					if math.Abs(out[o]-want) > 1e-6 {
						t.Errorf("shapes %d, output %d, row %d: %v, expected %v", shapes, o, i, out[o], want)
					}
				}
			}
		}
	}
}

// Far from every row only the trend is left.
func TestFarFieldIsTrend(t *testing.T) {
	x, y := sample(100, 5)
	s, _, err := Fit(x, y, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for j := range s.features.lo {
		s.features.lo[j], s.features.hi[j] = math.Inf(-1), math.Inf(1)
	}
	far := []float64{1e5, 1e7, 1e5, 1, 1e5}
	full, trend := make([]float64, 3), make([]float64, 3)
	s.Predict(far, full, s.NewScratch())
	s.channels = nil
	s.Predict(far, trend, s.NewScratch())
	for o := range full {
		if full[o] != trend[o] {
			t.Errorf("output %d: %v, trend %v", o, full[o], trend[o])
		}
	}
}

func TestDecay(t *testing.T) {
	for a := 0.0; a < 720; a += 0.0137 {
		want := math.Exp(-a)
		if got := decay(a); math.Abs(got-want) > 2e-13*want {
			t.Fatalf("decay(%v) = %v, math.Exp gives %v", a, got, want)
		}
	}
	if !math.IsNaN(decay(math.NaN())) || decay(math.Inf(1)) != 0 {
		t.Error("decay at NaN or +Inf")
	}
}

// slope against gonum's finite differences of the kernel itself.
func TestSlope(t *testing.T) {
	for k := range kernels {
		for _, s := range []float64{0.01, 0.3, 1, 4, 20} {
			want := -2 * fd.Derivative(func(s float64) float64 {
				v := []float64{s}
				k.apply(v)
				return v[0]
			}, s, &fd.Settings{Formula: fd.Central, Step: 1e-4 * s})
			if got := k.slope(s); math.Abs(got-want) > 1e-6*math.Abs(want) {
				t.Errorf("kernel %d at %v: %v, by differences %v", k, s, got, want)
			}
		}
		one := []float64{0, -1e-17}
		k.apply(one)
		if one[0] != 1 || one[1] != 1 {
			t.Errorf("kernel %d at 0 is %v", k, one)
		}
	}
}
