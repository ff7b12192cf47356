package ingest

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// Suggest returns the word in known that is most likely meant by got: the one
// with the fewest edits (Levenshtein), upper case and punctuation aside, if
// those are at most one for each three letters, or one in a short word, and at
// least one letter is right. It returns "" when nothing is near. Ties go to the first in
// alphabetical order.
func Suggest(got string, known []string) string {
	g := fold(got)
	n := utf8.RuneCountInString(g)
	if n == 0 || n > 64 {
		return ""
	}
	best, bestDist := "", min(max(n/3, 1)+1, n)
	for _, k := range slices.Sorted(slices.Values(known)) {
		f := fold(k)
		if d := utf8.RuneCountInString(f) - n; d >= bestDist || -d >= bestDist {
			continue
		}
		if d := levenshtein.ComputeDistance(g, f); d < bestDist {
			best, bestDist = k, d
		}
	}
	return best
}

// slip says whether two names are so close that one is likely a slip of the
// other: one edit in ten letters or fewer, two in longer names. Lists have many
// columns of their own, so a looser rule would cry wolf ("street", "storeys").
func slip(a, b string) bool {
	x, y := fold(a), fold(b)
	allowed := 1
	if len(x) > 10 {
		allowed = 2
	}
	return levenshtein.ComputeDistance(x, y) <= allowed
}

func didYouMean(got string, known []string) string {
	if s := Suggest(got, known); s != "" {
		return fmt.Sprintf("; did you mean %q?", s)
	}
	return ""
}

// shorten keeps messages and memory small whatever stands in a cell.
func shorten(s string) string {
	const most = 80
	if len(s) <= most {
		return strings.Clone(s)
	}
	cut := most
	for cut > 0 && !utf8.RuneStart(s[cut]) {
		cut--
	}
	return s[:cut] + "…"
}
