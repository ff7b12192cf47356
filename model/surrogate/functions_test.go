package surrogate_test

import "math"

// problem is a published test function on a box.
type problem struct {
	name     string
	low, up  []float64
	function func(x []float64) float64
}

// friedman is eq. 56 of J. H. Friedman, Multivariate adaptive regression
// splines, Annals of Statistics 19 (1991), from memory. Features beyond the
// fifth do nothing.
func friedman(x []float64) float64 {
	return 10*math.Sin(math.Pi*x[0]*x[1]) + 20*(x[2]-0.5)*(x[2]-0.5) + 10*x[3] + 5*x[4]
}

// branin is the function of F. H. Branin, IBM Journal of Research and
// Development 16 (1972), with the usual constants, from memory. Its three
// minima of 0.397887 are checked in TestFunctions.
func branin(x []float64) float64 {
	b, c := 5.1/(4*math.Pi*math.Pi), 5/math.Pi
	v := x[1] - b*x[0]*x[0] + c*x[0] - 6
	return v*v + 10*(1-1/(8*math.Pi))*math.Cos(x[0]) + 10
}

// borehole is the flow of water through a borehole in m³/a, in the form of
// Morris, Mitchell and Ylvisaker, Technometrics 35 (1993), from memory: r_w,
// r, T_u, H_u, T_l, H_l, L, K_w.
func borehole(x []float64) float64 {
	l := math.Log(x[1] / x[0])
	return 2 * math.Pi * x[2] * (x[3] - x[5]) /
		(l * (1 + 2*x[6]*x[2]/(l*x[0]*x[0]*x[7]) + x[2]/x[4]))
}

func cube(d int) (low, up []float64) {
	low, up = make([]float64, d), make([]float64, d)
	for j := range up {
		up[j] = 1
	}
	return low, up
}

func friedmanProblem(d int) problem {
	low, up := cube(d)
	return problem{"friedman", low, up, friedman}
}

var (
	braninProblem   = problem{"branin", []float64{-5, 0}, []float64{10, 15}, branin}
	boreholeProblem = problem{
		"borehole, logarithm",
		[]float64{0.05, 100, 63070, 990, 63.1, 700, 1120, 9855},
		[]float64{0.15, 50000, 115600, 1110, 116, 820, 1680, 12045},
		func(x []float64) float64 { return math.Log(borehole(x)) },
	}
)
