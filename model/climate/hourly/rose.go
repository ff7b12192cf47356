package hourly

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

const (
	// roseBlock is the number of days that share one turn of the rose, roseTries
	// the number of turns among which the fairest is taken.
	roseBlock, roseTries = 8, 16
	// roseSteps is the resolution of the rose's distribution function.
	roseSteps = 720
	// roseWalls is the number of orientations that are to get their share.
	roseWalls = 8
)

// rainDirections draws a direction for the rain of each day, in degrees from the
// station's rain-bearing wind. One year has too few days of heavy driving rain to
// leave their directions to chance: the lee wall of a representative year would
// be off by a third. So the days are taken in order of their driving rain, eight
// at a time; each eight is spread evenly over the rose, and of some such draws
// the one is kept that leaves eight walls nearest to their share so far.
func (y *year) rainDirections(r *rand.Rand) (from [days]float64) {
	var driving [days]float64
	var wet []int
	for d := range days {
		for k := 24 * d; k < 24*d+24; k++ {
			if y.Rain[k] > 0 {
				driving[d] += y.Wind[k] * math.Pow(y.Rain[k]*liquidShare(y.Theta[k]), 8.0/9)
			}
		}
		if y.wet[d] {
			wet = append(wet, d)
		}
	}
	slices.SortStableFunc(wet, func(a, b int) int { return cmp.Compare(driving[b], driving[a]) })
	table := newRose(roseKappa)
	share := table.shares()
	var caught [roseWalls]float64
	whole := 0.0
	for block := range slices.Chunk(wet, roseBlock) {
		for _, d := range block {
			whole += driving[d]
		}
		best, kept := math.Inf(1), caught
		for range roseTries {
			angles, walls := table.draw(r, len(block)), caught
			off := 0.0
			for w := range walls {
				for i, d := range block {
					walls[w] += driving[d] * toward(angles[i], w)
				}
				off += math.Pow(walls[w]/share[w]-whole, 2)
			}
			if off < best {
				best, kept = off, walls
				for i, d := range block {
					from[d] = angles[i]
				}
			}
		}
		caught = kept
	}
	return from
}

// toward is the part of rain from an angle that wall w of roseWalls catches.
func toward(angle float64, w int) float64 {
	return max(0, math.Cos((angle-float64(w)*360/roseWalls)*rad))
}

// rose is the distribution function of a von Mises rose about zero, −180 to 180
// degrees, not yet divided by its end.
type rose [roseSteps + 1]float64

func newRose(kappa float64) *rose {
	var below rose
	for i := range roseSteps {
		below[i+1] = below[i] + math.Exp(kappa*math.Cos(roseAngle(float64(i)+0.5)*rad))
	}
	return &below
}

func roseAngle(step float64) float64 { return step*360/roseSteps - 180 }

// draw returns n angles in degrees, one in each nth part of the rose, in random
// order.
func (below *rose) draw(r *rand.Rand, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		q := (float64(i) + r.Float64()) / float64(n) * below[roseSteps]
		j, _ := slices.BinarySearch(below[:], q)
		j = max(1, min(j, roseSteps))
		out[i] = roseAngle(float64(j-1) + (q-below[j-1])/(below[j]-below[j-1]))
	}
	r.Shuffle(n, func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// shares is what each wall catches of rain that comes by the rose.
func (below *rose) shares() (share [roseWalls]float64) {
	for w := range share {
		for i := range roseSteps {
			share[w] += (below[i+1] - below[i]) / below[roseSteps] * toward(roseAngle(float64(i)+0.5), w)
		}
	}
	return share
}
