package sampling

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Estimate is a chance from samples.
type Estimate struct {
	P         float64 // share of the samples, 0 to 1
	StdErr    float64 // standard error of P
	Low, High float64 // 95 % interval, within [0, 1]
	Samples   int
}

// Chance estimates the chance of what is true in exceeded. The samples come in
// replicates blocks of equal length, each from points scrambled independently,
// as [Replicated] gives them.
//
// Samples of one replicate depend on each other (that is what makes them
// even), so their count says nothing about the error. The means of the
// replicates are independent: the standard error is that of their mean, the
// interval is Student's t with replicates − 1 degrees of freedom. With 4
// replicates that is P ± 3.18 StdErr, and StdErr itself is uncertain by about
// 40 %. (Owen, Monte Carlo theory, methods and examples, ch. 17, from memory.)
//
// Where the replicates cannot tell (one replicate, or all of equal share: all
// samples 0, all samples 1, or chance), StdErr is that of independent samples
// about the centre of Wilson's score interval (1927), and the interval is
// Wilson's. It errs to the wide side for even points.
//
// It panics if there are no samples, replicates < 1, or replicates does not
// divide their count.
func Chance(exceeded []bool, replicates int) Estimate {
	n := len(exceeded)
	if n == 0 || replicates < 1 || n%replicates != 0 {
		panic(fmt.Sprintf("sampling: %d samples in %d replicates; expected at least one sample in each, all of equal count", n, replicates))
	}
	each := n / replicates
	counts := make([]float64, replicates)
	total := 0
	even := true
	for i, e := range exceeded {
		if e {
			counts[i/each]++
			total++
		}
	}
	for _, c := range counts {
		even = even && c == counts[0]
	}
	if even {
		return Wilson(total, n)
	}
	// From whole counts, so that no rounding makes equal replicates differ.
	p := float64(total) / float64(n)
	se := stat.StdDev(counts, nil) / float64(each) / math.Sqrt(float64(replicates))
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(replicates - 1)}.Quantile(0.975)
	return Estimate{P: p, StdErr: se, Low: max(p-t*se, 0), High: min(p+t*se, 1), Samples: n}
}

// Wilson estimates a chance from count hits in n independent samples, with
// Wilson's 95 % score interval (E. B. Wilson, Journal of the American
// Statistical Association 22, 1927). StdErr is half the interval over 1.96, so
// that it does not vanish at 0 and n hits. It panics unless 0 ≤ count ≤ n and
// n > 0.
func Wilson(count, n int) Estimate {
	if n <= 0 || count < 0 || count > n {
		panic(fmt.Sprintf("sampling: %d hits in %d samples", count, n))
	}
	z := distuv.UnitNormal.Quantile(0.975)
	N := float64(n)
	p := float64(count) / N
	centre := (p + z*z/(2*N)) / (1 + z*z/N)
	half := z / (1 + z*z/N) * math.Sqrt(p*(1-p)/N+z*z/(4*N*N))
	e := Estimate{P: p, StdErr: half / z, Low: max(centre-half, 0), High: min(centre+half, 1), Samples: n}
	// Exact by the formula, but not always after rounding.
	if count == 0 {
		e.Low = 0
	}
	if count == n {
		e.High = 1
	}
	return e
}
