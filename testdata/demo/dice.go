package main

import (
	"math"
	"math/rand/v2"
)

// dice is the only source of chance.
type dice struct{ *rand.Rand }

// share is one choice and its weight.
type share[T any] struct {
	of T
	w  float64
}

// weigh pairs weights with words: weigh("a", 2, "b", 1).
func weigh(pairs ...any) []share[string] {
	var out []share[string]
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, share[string]{pairs[i].(string), float64(pairs[i+1].(int))})
	}
	return out
}

func pick[T any](d dice, list []share[T]) T {
	sum := 0.0
	for _, s := range list {
		sum += s.w
	}
	at := d.Float64() * sum
	for _, s := range list {
		if at -= s.w; at < 0 {
			return s.of
		}
	}
	return list[len(list)-1].of
}

func (d dice) chance(p float64) bool { return d.Float64() < p }

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
