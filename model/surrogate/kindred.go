package surrogate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// kindredRows bounds the rows by which outputs are told apart.
const kindredRows = 200

// alike is the most that joining two groups may cost, see join, for them to
// share a kernel even where there is room for another.
const alike = 0.01

// kin is a group of outputs.
type kin struct {
	outputs []int
	force   float64   // Σ over outputs of the squared slope of the radial part
	toward  []float64 // direction of the slopes in the space of features
}

// kindred sorts the outputs of all blocks into at most most groups that depend
// on the same features: each output's slopes are measured on quick fits, then
// the two groups whose join loses least are joined (Ward's method: J. H. Ward,
// Journal of the American Statistical Association 58, 1963), over and over. An
// output that the trend explains weighs little.
func kindred(blocks []block, f *features, most int) [][]int {
	var groups []kin
	for _, b := range thin(blocks, kindredRows) {
		for k, o := range b.outputs {
			g := kin{outputs: []int{o}}
			if len(f.keep) > 0 {
				slopes := b.one(k).slopes(f)
				for j, v := range slopes {
					slopes[j] = math.Sqrt(v)
				}
				if norm := floats.Norm(slopes, 2); norm > 0 {
					floats.Scale(1/norm, slopes)
					g.force = norm * norm
				}
				g.toward = slopes
			}
			groups = append(groups, g)
		}
	}
	slices.SortFunc(groups, func(a, b kin) int { return a.outputs[0] - b.outputs[0] })
	for len(groups) > 1 {
		a, b, least := 0, 1, math.Inf(1)
		for i := range groups {
			for j := i + 1; j < len(groups); j++ {
				if c := join(&groups[i], &groups[j]); c < least {
					a, b, least = i, j, c
				}
			}
		}
		if len(groups) <= most && least > alike {
			break
		}
		groups[a] = merge(&groups[a], &groups[b])
		groups = slices.Delete(groups, b, b+1)
	}
	out := make([][]int, len(groups))
	for i := range groups {
		slices.Sort(groups[i].outputs)
		out[i] = groups[i].outputs
	}
	return out
}

// join is what Ward's method loses by joining two groups, in units of the
// squared slope of a standardised output.
func join(a, b *kin) float64 {
	if a.force == 0 || b.force == 0 {
		return 0
	}
	return a.force * b.force / (a.force + b.force) * sq(floats.Distance(a.toward, b.toward, 2))
}

func merge(a, b *kin) kin {
	g := kin{outputs: slices.Concat(a.outputs, b.outputs), force: a.force + b.force, toward: slices.Clone(a.toward)}
	if g.force > 0 {
		floats.Scale(a.force/g.force, g.toward)
		floats.AddScaled(g.toward, b.force/g.force, b.toward)
	}
	return g
}

// one returns the block with its k-th output alone.
func (b *block) one(k int) *block {
	n, _ := b.y.Dims()
	return &block{rows: b.rows, outputs: b.outputs[k : k+1], z: b.z, h: b.h, y: mat.DenseCopyOf(b.y.Slice(0, n, k, k+1))}
}

// slopes gives the mean squared slope of the radial part along each feature
// for a block of one output, after letting the relevance settle a little.
func (b *block) slopes(f *features) []float64 {
	s := plainShape(len(f.keep))
	var g []float64
	for range 3 {
		t := try(s, []block{*b})
		g = b.gradients(&s, t.fits[0])[0]
		s.weight = roots(g)
	}
	return g
}

// choose returns the blocks with only the outputs named.
func choose(blocks []block, outputs []int) []block {
	var out []block
	for _, b := range blocks {
		var keep []int
		for k, o := range b.outputs {
			if slices.Contains(outputs, o) {
				keep = append(keep, k)
			}
		}
		if len(keep) == 0 {
			continue
		}
		n, _ := b.y.Dims()
		c := block{rows: b.rows, z: b.z, h: b.h, y: mat.NewDense(n, len(keep), nil)}
		for to, k := range keep {
			c.outputs = append(c.outputs, b.outputs[k])
			c.y.SetCol(to, mat.Col(nil, k, b.y))
		}
		out = append(out, c)
	}
	return out
}
