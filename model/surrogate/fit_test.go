package surrogate_test

import (
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/model/sampling"
	"wallsift/model/surrogate"
)

// several is three outputs that depend on different features, the second one
// missing in places.
func several(n, d int, seed uint64) (x, y [][]float64) {
	x, y = draw(friedmanProblem(d), n, seed)
	for i, r := range x {
		y[i] = []float64{(y[i][0] - 14) / 5, math.Log(0.2+2*r[1]*r[6]) - r[2], math.Max(3*r[7]-2*r[3], -1)}
		if r[5] > 0.8 {
			y[i][1] = math.NaN()
		}
	}
	return x, y
}

func predictions(s *surrogate.Surface, x [][]float64) [][]float64 {
	scratch := s.NewScratch()
	out := make([][]float64, len(x))
	for i := range x {
		out[i] = make([]float64, s.Outputs())
		s.Predict(x[i], out[i], scratch)
	}
	return out
}

func TestRowOrder(t *testing.T) {
	x, y := several(260, 8, 1) // more than the search looks at
	probe, _ := several(50, 8, 2)
	s, q := fit(t, x, y, surrogate.Options{Shapes: 1})
	rand.New(rand.NewPCG(5, 5)).Shuffle(len(x), func(i, j int) {
		x[i], x[j] = x[j], x[i]
		y[i], y[j] = y[j], y[i]
	})
	s2, q2 := fit(t, x, y, surrogate.Options{Shapes: 1})
	if d := cmp.Diff(predictions(s, probe), predictions(s2, probe)); d != "" {
		t.Errorf("predictions depend on the order of rows:\n%s", d)
	}
	if d := cmp.Diff(q, q2); d != "" {
		t.Errorf("quality depends on the order of rows:\n%s", d)
	}
}

// The linear algebra underneath runs on as many processors as there are.
func TestProcessors(t *testing.T) {
	x, y := several(140, 8, 1)
	probe, _ := several(50, 8, 2)
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	s, q := fit(t, x, y, surrogate.Options{})
	runtime.GOMAXPROCS(5)
	s2, q2 := fit(t, x, y, surrogate.Options{})
	if d := cmp.Diff(predictions(s, probe), predictions(s2, probe)); d != "" {
		t.Errorf("predictions depend on the count of processors:\n%s", d)
	}
	if d := cmp.Diff(q, q2); d != "" {
		t.Errorf("quality depends on the count of processors:\n%s", d)
	}
}

func TestFeatureUnits(t *testing.T) {
	x, y := several(100, 8, 1)
	probe, _ := several(50, 8, 2)
	s, _ := fit(t, x, y, surrogate.Options{})
	other := func(rows [][]float64) {
		for _, r := range rows {
			for j := range r {
				r[j] = r[j]*math.Pow(10, float64(j-4)) + float64(j)
			}
		}
	}
	want := predictions(s, probe)
	other(x)
	other(probe)
	s2, _ := fit(t, x, y, surrogate.Options{})
	for i, row := range predictions(s2, probe) {
		for o, v := range row {
			if math.Abs(v-want[i][o]) > 1e-6 {
				t.Errorf("row %d, output %d: %v, in other units %v", i, o, want[i][o], v)
			}
		}
	}
}

// Gaps, an output with too few rows and one that is constant, side by side.
func TestMissingOutputs(t *testing.T) {
	x, y := several(140, 8, 1)
	for i := range y {
		few := math.NaN()
		if i%7 == 0 {
			few = x[i][0] // 20 rows
		}
		y[i] = append(y[i], few, -3.5)
	}
	s, q := fit(t, x, y, surrogate.Options{})
	rows := 0
	for i := range y {
		if !math.IsNaN(y[i][1]) {
			rows++
		}
	}
	for o, want := range []struct {
		available bool
		rows      int
	}{{true, 140}, {true, rows}, {true, 140}, {false, 20}, {true, 140}} {
		got := q.Outputs[o]
		if got.Available != want.available || got.Rows != want.rows || s.Available(o) != want.available {
			t.Errorf("output %d: available %v with %d rows, expected %+v", o, got.Available, got.Rows, want)
		}
	}
	hx, hy := several(1000, 8, 2)
	for i := range hy {
		hy[i] = append(hy[i], 0, -3.5)
	}
	as := surrogate.Check(s, hx, hy)
	present := 0
	for i := range hy {
		if !math.IsNaN(hy[i][1]) {
			present++
		}
	}
	if as[1].Count != present || as[3] != (surrogate.Agreement{}) {
		t.Errorf("compared %d of output 1, expected %d; output 3: %+v", as[1].Count, present, as[3])
	}
	if as[4].RMS != 0 || as[4].WrongSide != 0 {
		t.Errorf("a constant output is not exact: %+v", as[4])
	}
	for o := range 3 {
		t.Logf("output %d: %+v", o, as[o])
		if as[o].RMS > 0.1 {
			t.Errorf("output %d: rms error %v of log u", o, as[o].RMS)
		}
	}
	for i, row := range predictions(s, hx[:10]) {
		if !math.IsNaN(row[3]) || row[4] != -3.5 {
			t.Errorf("row %d: unavailable output %v, constant output %v", i, row[3], row[4])
		}
	}
}

func TestRepeatedAndConstant(t *testing.T) {
	x, y := several(80, 8, 1)
	probe, _ := several(50, 8, 2)
	s, _ := fit(t, x, y, surrogate.Options{})
	twice := func(rows [][]float64) [][]float64 { return append(rows[:len(rows):len(rows)], rows...) }
	s2, q2 := fit(t, twice(x), twice(y), surrogate.Options{})
	if q2.Rows != 80 || q2.Merged != 80 {
		t.Errorf("%d rows and %d merged, expected 80 and 80", q2.Rows, q2.Merged)
	}
	if d := cmp.Diff(predictions(s, probe), predictions(s2, probe)); d != "" {
		t.Errorf("repeated rows change the surface:\n%s", d)
	}

	// Equal features with different outputs are noise, not an error.
	other := twice(y)
	for i := range y {
		other[i] = []float64{y[i][0] + 0.2, y[i][1], y[i][2]}
	}
	s3, _ := fit(t, twice(x), other, surrogate.Options{})
	hx, hy := several(1000, 8, 3)
	if a := surrogate.Check(s3, hx, hy)[0]; math.Abs(a.Bias-0.1) > 0.05 {
		t.Errorf("bias %v, expected half of the 0.2 between twins", a.Bias)
	}

	// A constant feature is dropped; its value later does not matter.
	add := func(rows [][]float64, v float64) (out [][]float64) {
		for _, r := range rows {
			out = append(out, append([]float64{v}, r...))
		}
		return out
	}
	s4, q4 := fit(t, add(x, 0.3), y, surrogate.Options{})
	if q4.Features != 8 || s4.Features() != 9 {
		t.Errorf("%d features vary of %d, expected 8 of 9", q4.Features, s4.Features())
	}
	if d := cmp.Diff(predictions(s, probe), predictions(s4, add(probe, 99))); d != "" {
		t.Errorf("a constant feature changes the surface:\n%s", d)
	}

	// Nothing varies: the mean.
	same := make([][]float64, 60)
	vary := make([][]float64, 60)
	for i := range same {
		same[i], vary[i] = []float64{1, 2}, []float64{float64(i)}
	}
	s5, _ := fit(t, same, vary, surrogate.Options{})
	if v := predictions(s5, [][]float64{{7, 7}})[0][0]; math.Abs(v-29.5) > 0.1 {
		t.Errorf("without features %v, expected the mean 29.5", v)
	}
}

func TestOutsideRange(t *testing.T) {
	x, y := draw(friedmanProblem(8), 120, 1)
	s, _ := fit(t, x, y, surrogate.Options{})
	// Far out equals the edge of the widened range.
	a := predictions(s, [][]float64{
		{0.5, 0.5, 0.5, 50, 0.5, 0.5, 0.5, 0.5},
		{0.5, 0.5, 0.5, 2, 0.5, 0.5, 0.5, 0.5},
		{0.5, 0.5, 0.5, math.Inf(1), 0.5, 0.5, 0.5, 0.5},
	})
	if a[0][0] != a[1][0] || a[0][0] != a[2][0] {
		t.Errorf("beyond the range: %v, %v, %v, expected one value", a[0][0], a[1][0], a[2][0])
	}
	// Within the margin the line in x₄ (slope 10) goes on, a tenth of the range
	// beyond the outermost row: 10·(1.1 − 0.5) above the middle.
	mid := predictions(s, [][]float64{{0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5}})[0][0]
	if rise := a[0][0] - mid; math.Abs(rise-6) > 0.15 {
		t.Errorf("rise to the edge %v, expected 6", rise)
	}
	// All corners of the widened box stay near the range of the function, 0 to 30.
	for c := range 256 {
		corner := make([]float64, 8)
		for j := range corner {
			corner[j] = float64(c>>j&1)*200 - 100
		}
		if v := predictions(s, [][]float64{corner})[0][0]; !(v > -15 && v < 45) {
			t.Errorf("corner %b: %v", c, v)
		}
	}
	if v := predictions(s, [][]float64{{math.NaN(), 0, 0, 0, 0, 0, 0, 0}})[0][0]; !math.IsNaN(v) {
		t.Errorf("a NaN feature gave %v", v)
	}
}

// Outputs that depend on different features want different kernels.
func TestShapes(t *testing.T) {
	x := sampling.Points(140, 10, 1)
	hx := sampling.Points(500, 10, 2)
	run := func(x [][]float64) (y [][]float64) {
		for _, r := range x {
			y = append(y, []float64{
				friedman(r) / 5,
				friedman([]float64{r[9], r[8], r[7], r[6], r[5]}) / 5,
			})
		}
		return y
	}
	y, hy := run(x), run(hx)
	one, q1 := fit(t, x, y, surrogate.Options{Shapes: 1})
	two, q2 := fit(t, x, y, surrogate.Options{})
	if q1.Shapes != 1 || q2.Shapes != 2 {
		t.Errorf("%d and %d kernels, expected 1 and 2", q1.Shapes, q2.Shapes)
	}
	a, b := surrogate.Check(one, hx, hy), surrogate.Check(two, hx, hy)
	for o := range 2 {
		t.Logf("output %d: one kernel %.4f, two kernels %.4f", o, a[o].RMS, b[o].RMS)
		if !(b[o].RMS < a[o].RMS/3) {
			t.Errorf("output %d: rms error %v with two kernels, %v with one", o, b[o].RMS, a[o].RMS)
		}
	}
}

func TestFitErrors(t *testing.T) {
	good := func() (x, y [][]float64) { return draw(friedmanProblem(5), 60, 1) }
	for _, c := range []struct {
		name, want string
		spoil      func(x, y [][]float64) ([][]float64, [][]float64)
	}{
		{"empty", "0 rows", func(x, y [][]float64) ([][]float64, [][]float64) { return nil, nil }},
		{"lengths", "60 rows of features and 59", func(x, y [][]float64) ([][]float64, [][]float64) { return x, y[:59] }},
		{"ragged", "row 7 has 4 features", func(x, y [][]float64) ([][]float64, [][]float64) { x[7] = x[7][:4]; return x, y }},
		{"feature", "row 3, feature 2 is NaN", func(x, y [][]float64) ([][]float64, [][]float64) { x[3][2] = math.NaN(); return x, y }},
		{"output", "row 4, output 0 is -Inf", func(x, y [][]float64) ([][]float64, [][]float64) { y[4][0] = math.Inf(-1); return x, y }},
		{"few", "50 distinct rows", func(x, y [][]float64) ([][]float64, [][]float64) { return x[:49], y[:49] }},
	} {
		x, y := good()
		x, y = c.spoil(x, y)
		if _, _, err := surrogate.Fit(x, y, surrogate.Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, expected %q in it", c.name, err, c.want)
		}
	}
}
