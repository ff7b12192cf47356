package sampling_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"wallsift/model/sampling"
)

// lot is one part of a hand-made sample: count samples in a bin, in which the
// named actions are right.
type lot struct {
	bin, count int
	right      []int
}

// lay spreads the lots of each bin evenly, so that both halves of a bin hold
// the same shares.
func lay(actions int, lots []lot) (fact []int, correct [][]bool) {
	correct = make([][]bool, actions)
	for range 2 {
		for _, l := range lots {
			for range l.count / 2 {
				fact = append(fact, l.bin)
				for a := range correct {
					right := false
					for _, r := range l.right {
						right = right || r == a
					}
					correct[a] = append(correct[a], right)
				}
			}
		}
	}
	return fact, correct
}

func TestValueOfKnowingByHand(t *testing.T) {
	for _, c := range []struct {
		name      string
		actions   int
		lots      []lot
		gain, now float64
	}{
		// Insulate (0) is right in dry walls, repair first (1) in wet ones. A
		// reading "low" (bin 0) means dry in 90 of 100, "high" (bin 1) in 20 of
		// 100. Insulate always: right in 110 of 200, so now = 0.45. By reading:
		// right in 90 + 80 of 200, wrong in 0.15. The reading is worth 0.30.
		{"reading of damp", 2, []lot{{0, 90, []int{0}}, {0, 10, []int{1}}, {1, 20, []int{0}}, {1, 80, []int{1}}}, 0.30, 0.45},
		// The reading shifts the chance from 0.9 to 0.6 and never the choice:
		// worth nothing, though it tells much.
		{"choice stays", 2, []lot{{0, 90, []int{0}}, {0, 10, []int{1}}, {1, 60, []int{0}}, {1, 40, []int{1}}}, 0, 0.25},
		// Three actions, three states, known exactly, in unequal shares:
		// now = 1 − 100/200, all of it gained.
		{"fact decides", 3, []lot{{0, 60, []int{2}}, {1, 100, []int{0}}, {4, 40, []int{1}}}, 0.5, 0.5},
		// Two actions right together in bin 0; 1 right alone in half of bin 1,
		// nothing right in the other half. Action 1 is never beaten.
		{"several right, or none", 2, []lot{{0, 100, []int{0, 1}}, {1, 50, []int{1}}, {1, 50, nil}}, 0, 0.25},
		{"nothing right", 2, []lot{{0, 10, nil}, {1, 10, nil}}, 0, 1},
		{"one action", 1, []lot{{0, 10, []int{0}}, {1, 10, nil}}, 0, 0.5},
	} {
		fact, correct := lay(c.actions, c.lots)
		gain, now := sampling.ValueOfKnowing(fact, ones(len(fact)), correct)
		if math.Abs(gain-c.gain) > 1e-12 || math.Abs(now-c.now) > 1e-12 {
			t.Errorf("%s: gain %v, now %v; expected %v and %v", c.name, gain, now, c.gain, c.now)
		}
	}
	// Bins of one sample teach nothing, though each looks decided.
	if gain, _ := sampling.ValueOfKnowing([]int{0, 1, 2, 3}, ones(4), [][]bool{{true, false, true, false}, {false, true, false, true}}); gain != 0 {
		t.Errorf("bins of one sample: gain %v", gain)
	}
}

// Two actions, each right by the toss of a coin: no fact is worth anything. The
// plain estimate, scored on the samples it chose by, sees much in small bins.
func TestSmallBinsAreNotWorthMuch(t *testing.T) {
	const n, bins, runs = 400, 40, 100
	r := rand.New(rand.NewPCG(1, 2))
	ours, plain := 0.0, 0.0
	for range runs {
		fact := make([]int, n)
		correct := [][]bool{make([]bool, n), make([]bool, n)}
		inBin := make([]int, bins)
		total := 0
		for i := range fact {
			fact[i] = i % bins
			first := r.IntN(2) == 0
			correct[0][i], correct[1][i] = first, !first
			if first {
				inBin[fact[i]]++
				total++
			}
		}
		gain, _ := sampling.ValueOfKnowing(fact, ones(len(fact)), correct)
		ours += gain / runs
		best := 0
		for _, k := range inBin {
			best += max(k, n/bins-k)
		}
		plain += float64(best-max(total, n-total)) / n / runs
	}
	t.Logf("mean gain from nothing: %.4f, plain %.4f", ours, plain)
	if ours > 0.02 || plain < 5*ours {
		t.Errorf("mean gain from nothing %v, plain %v", ours, plain)
	}
}

// A continuous fact x uniform on (0, 1), action 0 right if x + e > ½, e uniform
// on ±¼, action 1 right otherwise. With 0.5 each, now = ½. Knowing x, the choice
// errs with 2·(¼ − |x − ½|) within ¼ of the middle, which is 1/8 in the mean
// over all x: gain = 3/8, less what the width of bins costs.
func TestContinuousFact(t *testing.T) {
	const n = 4096
	rng := rand.New(rand.NewPCG(9, 9))
	x := make([]float64, n)
	correct := [][]bool{make([]bool, n), make([]bool, n)}
	for i := range x {
		x[i] = rng.Float64()
		over := x[i]+(rng.Float64()-0.5)/2 > 0.5
		correct[0][i], correct[1][i] = over, !over
	}
	gain, now := sampling.ValueOfKnowing(sampling.EqualBins(x, 20), ones(n), correct)
	if math.Abs(now-0.5) > 0.02 || math.Abs(gain-0.375) > 0.02 {
		t.Errorf("gain %v, now %v; expected 3/8 and 1/2", gain, now)
	}
}

func TestValueOfKnowingProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "n")
		actions := rapid.IntRange(1, 4).Draw(t, "actions")
		bins := rapid.IntRange(1, 6).Draw(t, "bins")
		fact := rapid.SliceOfN(rapid.IntRange(0, bins-1), n, n).Draw(t, "fact")
		correct := make([][]bool, actions)
		for a := range correct {
			correct[a] = rapid.SliceOfN(rapid.Bool(), n, n).Draw(t, "correct")
		}
		gain, now := sampling.ValueOfKnowing(fact, ones(len(fact)), correct)
		if !(0 <= gain && gain <= now && now <= 1) {
			t.Fatalf("gain %v, now %v", gain, now)
		}
		renamed := make([]int, n)
		for i, b := range fact {
			renamed[i] = 3 * (bins - b)
		}
		if g, m := sampling.ValueOfKnowing(renamed, ones(n), correct); g != gain || m != now {
			t.Fatalf("renamed bins: gain %v, now %v; before %v, %v", g, m, gain, now)
		}
		if g, _ := sampling.ValueOfKnowing(make([]int, n), ones(n), correct); g != 0 {
			t.Fatalf("a fact with one value is worth %v", g)
		}
	})
}

func TestEqualBins(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		values []float64
		bins   int
		want   []int
	}{
		{[]float64{5, 1, 3, 2, 4, 6}, 3, []int{2, 0, 1, 0, 1, 2}},
		{[]float64{7, 7, 7, 9}, 2, []int{0, 0, 0, 1}},
		{[]float64{nan, 2, 1, nan}, 2, []int{2, 1, 0, 2}},
		{nil, 4, []int{}},
	} {
		if d := cmp.Diff(c.want, sampling.EqualBins(c.values, c.bins)); d != "" {
			t.Errorf("%v in %d bins:\n%s", c.values, c.bins, d)
		}
	}
}

func TestKnowingPanics(t *testing.T) {
	for _, f := range []func(){
		func() { sampling.ValueOfKnowing(nil, nil, [][]bool{{}}) },
		func() { sampling.ValueOfKnowing([]int{0}, ones(1), nil) },
		func() { sampling.ValueOfKnowing([]int{0}, ones(1), [][]bool{{true, true}}) },
		func() { sampling.ValueOfKnowing([]int{-1}, ones(1), [][]bool{{true}}) },
		func() { sampling.ValueOfKnowing([]int{0, 1}, ones(1), [][]bool{{true, true}}) },
	} {
		mustPanic(t, f)
	}
}

// A sample of weight 2 counts as two samples of it.
func TestValueOfKnowingByWeight(t *testing.T) {
	gain, now := sampling.ValueOfKnowing([]int{0, 0, 1, 1}, []float64{2, 2, 1, 1}, [][]bool{{true, true, false, false}, {false, false, true, true}})
	if math.Abs(now-1.0/3) > 1e-12 || math.Abs(gain-1.0/3) > 1e-12 {
		t.Errorf("gain %v, now %v; expected 1/3 and 1/3", gain, now)
	}
}

func ones(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1
	}
	return w
}

func mustPanic(t *testing.T, f func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	f()
}
