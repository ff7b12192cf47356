package transient

import (
	"encoding/csv"
	"math"
	"os"
	"sort"
	"strconv"
	"testing"

	"wallsift/model/air"
)

// similarity is a profile over η = x/√t.
type similarity struct{ eta, theta, water, rh []float64 }

func readSimilarity(t *testing.T) similarity {
	t.Helper()
	f, err := os.Open("../../testdata/reference/transient/en15026_similarity.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var s similarity
	for _, r := range rows[1:] {
		var v [4]float64
		for k := range v {
			if v[k], err = strconv.ParseFloat(r[k], 64); err != nil {
				t.Fatal(err)
			}
		}
		s.eta, s.theta, s.water, s.rh = append(s.eta, v[0]), append(s.theta, v[1]), append(s.water, v[2]), append(s.rh, v[3])
	}
	return s
}

func valueAt(x, y []float64, at float64) float64 {
	k := sort.SearchFloat64s(x, at)
	if k == 0 {
		return y[0]
	}
	if k == len(x) {
		return y[len(y)-1]
	}
	f := (at - x[k-1]) / (x[k] - x[k-1])
	return y[k-1]*(1-f) + y[k]*f
}

// en15026Run returns the engine's wall after each of the times (days).
func en15026Run(t *testing.T, o Options, days []int, look func(day int, v *Solver)) {
	t.Helper()
	const depth = 45.0 // m, semi-infinite for a year of heat
	s, err := NewSolver(Wall{Layers: []Layer{{Thickness: depth, Material: compiled(t, en15026())}}}, o)
	if err != nil {
		t.Fatal(err)
	}
	s.SetUniform(20, 0.5)
	e := Edge{Theta: 30, H: math.Inf(1), P: 0.95 * air.Psat(30), Beta: math.Inf(1)}
	d := constantDrive(e, Edge{}).withContact(outer, Suction(0.95, 30))
	done := 0
	for _, day := range days {
		r := s.Run(d, 24*(day-done), nil)
		if r.Err != nil {
			t.Fatal(r.Err)
		}
		t.Logf("to day %d: %+v", day, r.Counters)
		done = day
		look(day, s)
	}
}

// EN 15026:2007 annex A against the similarity solution of the same equations
// (testdata/reference/transient/similarity.py, SciPy 1.10): temperature and
// water content at 7, 30 and 365 days within the standard's 2.5 % (of the step
// in temperature, of the step in water content).
func TestEN15026AnnexA(t *testing.T) {
	ref := readSimilarity(t)
	span := ref.water[0] - ref.water[len(ref.water)-1]
	for _, cells := range []int{80, 160} {
		en15026Run(t, Options{Cells: cells}, []int{7, 30, 365}, func(day int, v *Solver) {
			rt := math.Sqrt(float64(day) * 86400)
			var dT, dW float64
			for i := 0; i < v.Cells(); i++ {
				eta := v.Depth(i) / rt
				dT = math.Max(dT, math.Abs(v.x[i].t-valueAt(ref.eta, ref.theta, eta))/10)
				dW = math.Max(dW, math.Abs(v.Water(i)-valueAt(ref.eta, ref.water, eta))/span)
			}
			t.Logf("%d cells, day %d: temperature within %.3f %%, water within %.3f %%", cells, day, 100*dT, 100*dW)
			if dT > 0.025 || dW > 0.025 {
				t.Errorf("%d cells, day %d: temperature off by %.2f %%, water by %.2f %%, limit 2.5 %%", cells, day, 100*dT, 100*dW)
			}
		})
	}
}
