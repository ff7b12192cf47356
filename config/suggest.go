package config

import (
	"fmt"
	"slices"

	"github.com/agnivade/levenshtein"
)

// nearest returns the candidate with the fewest edits from word, when there
// are few enough of them for a slip of the finger: one edit in three letters.
func nearest(word string, candidates []string) (string, bool) {
	best, bestDist := "", len(word)/3+2
	for _, c := range slices.Sorted(slices.Values(candidates)) {
		if d := levenshtein.ComputeDistance(word, c); d < bestDist {
			best, bestDist = c, d
		}
	}
	return best, best != ""
}

// didYouMean returns a hint to append to an expectation, or nothing.
func didYouMean(word string, candidates []string) string {
	if s, ok := nearest(word, candidates); ok {
		return fmt.Sprintf("; did you mean %q?", s)
	}
	return ""
}
