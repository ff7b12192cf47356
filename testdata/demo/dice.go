package main

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
)

// dice is the only source of chance.
type dice struct{ *rand.Rand }

// pick draws one of a list of words with their weights: "sound 2, worn 1".
func (d dice) pick(list string) string {
	var words []string
	var weights []float64
	sum := 0.0
	for part := range strings.SplitSeq(list, ", ") {
		cut := strings.LastIndex(part, " ")
		words, weights = append(words, part[:cut]), append(weights, float64(whole(part[cut+1:])))
		sum += weights[len(weights)-1]
	}
	at := d.Float64() * sum
	for i, w := range weights {
		if at -= w; at < 0 {
			return words[i]
		}
	}
	return words[len(words)-1]
}

// whole reads a whole number; every one it is given was written here.
func whole(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}

func (d dice) chance(p float64) bool { return d.Float64() < p }

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// between is uniform over whole numbers, both ends included.
func (d dice) between(lo, hi int) int { return lo + d.IntN(hi-lo+1) }

func (d dice) uniform(lo, hi float64) float64 { return lo + d.Float64()*(hi-lo) }

// graded turns a score, high is good, into one of three words.
func graded(score, low, high float64, bad, middling, good string) string {
	switch {
	case score < low:
		return bad
	case score < high:
		return middling
	}
	return good
}

func roundTo(v, step float64) float64 { return math.Round(v/step) * step }
