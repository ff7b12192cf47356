package ingest

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
	"golang.org/x/text/unicode/norm"
)

// Term is one accepted word of a vocabulary, such as a material or a climate
// zone: its id, its label, and other spellings.
type Term struct {
	ID, Label string
	Aliases   []string
}

// vocabulary finds a word by any accepted spelling. It is immutable.
type vocabulary struct {
	ids      []string
	exact    map[string]int   // index of an id as canonically written
	folded   map[string][]int // indices of what a spelling may mean
	known    []string         // for suggestions
	accepted string           // for messages
}

// newVocabulary lets ids win over aliases and those over labels; an alias or
// label of two terms is refused in the row that uses it.
func newVocabulary(list []Term) *vocabulary {
	v := &vocabulary{exact: map[string]int{}, folded: map[string][]int{}}
	for i, t := range list {
		v.exact[t.ID] = i
		v.ids = append(v.ids, t.ID)
	}
	if len(list) <= 12 {
		v.accepted = strings.Join(v.ids, ", ")
	}
	won := map[string]int{} // by which kind of spelling, from 0 on
	for kind := range 3 {
		for i, t := range list {
			for _, s := range [...][]string{{t.ID}, t.Aliases, {t.Label}}[kind] {
				key := fold(s)
				if by, ok := won[key]; key == "" || ok && by < kind {
					continue
				}
				won[key] = kind
				if !slices.Contains(v.folded[key], i) {
					v.folded[key] = append(v.folded[key], i)
				}
				v.known = append(v.known, s)
			}
		}
	}
	return v
}

// find returns the index of the term that a word means.
func (v *vocabulary) find(s string) (int, bool) {
	if i, ok := v.exact[s]; ok {
		return i, true
	}
	if list := v.folded[fold(s)]; len(list) == 1 {
		return list[0], true
	}
	return 0, false
}

// unknown says what is wrong with a word that was not found.
func (v *vocabulary) unknown(s string, c *Column) problem {
	if list := v.folded[fold(s)]; len(list) > 1 {
		return problem{fmt.Sprintf("%q could mean %s or %s", shorten(s), v.ids[list[0]], v.ids[list[1]]), "use the id"}
	}
	if c.KnownOnly && fold(s) == fold(c.Levels[0]) {
		return problem{fmt.Sprintf("%s cannot be left unknown, expected one of %s", c.Name, v.accepted), "judge it, from a map if need be, or leave the building out"}
	}
	near := Suggest(s, v.known)
	reason := "unknown " + c.Name
	switch {
	case v.accepted != "":
		reason += ", expected one of " + v.accepted
	case near != "": // the fix says more
	case c.Kind == KindZone:
		reason += ", expected an id or label of wallsift list zones or wallsift list stations"
	default:
		reason += ", expected an id or label of wallsift list materials"
	}
	fix := fmt.Sprintf("correct the cell, or add an alias for field %s from %q to the word that is meant in the configuration (input.aliases)", c.Name, shorten(s))
	if near != "" {
		fix = fmt.Sprintf("did you mean %q? Else add an alias for field %s from %q in the configuration (input.aliases)", near, c.Name, shorten(s))
	}
	return problem{reason, fix}
}

// levels are the words of a category, in the order of its levels from 1 on, and
// "unknown" last where it is accepted.
func (c *Column) levels() (out []Term) {
	more := map[string][]string{"yes": {"y", "true", "1"}, "no": {"n", "false", "0"}}
	for _, w := range c.Words() {
		if Category(c.slot) == HumidityClass {
			more[w] = []string{"class " + w}
		}
		out = append(out, Term{ID: w, Aliases: more[w]})
	}
	return out
}

// rules hold everything that is needed to judge a cell. They are built once
// and never change, so any number of goroutines may use them.
type rules struct {
	words   map[*Column]*vocabulary       // none where any word is accepted
	aliases map[*Column]map[string]string // what the user's words stand for
}

func newRules(opt Options) (*rules, error) {
	r := &rules{words: map[*Column]*vocabulary{}, aliases: map[*Column]map[string]string{}}
	for _, c := range catalogue {
		r.aliases[c] = map[string]string{}
		switch {
		case c.Kind == KindCategory:
			r.words[c] = newVocabulary(c.levels())
		case c.Kind == KindStone && len(opt.Stones) > 0:
			r.words[c] = newVocabulary(opt.Stones)
		case c.Kind == KindZone && len(opt.Zones) > 0:
			r.words[c] = newVocabulary(opt.Zones)
		}
	}
	for _, field := range sortedKeys(opt.Aliases) {
		t, ok := canonical[fold(field)]
		if !ok {
			return nil, fmt.Errorf("alias: %q is not a known column%s", field, DidYouMean(field, headerNames()))
		}
		c := t.col
		if c.Kind == KindID && len(opt.Aliases[field]) > 0 {
			return nil, fmt.Errorf("alias for %s: an id has no other spellings", c.Name)
		}
		for _, from := range sortedKeys(opt.Aliases[field]) {
			to := strings.TrimSpace(opt.Aliases[field][from])
			if v := r.words[c]; v != nil {
				i, ok := v.find(to)
				if !ok {
					return nil, fmt.Errorf("alias for %s: %q is mapped to %q, which is not known%s", c.Name, from, to, DidYouMean(to, v.known))
				}
				to = v.ids[i]
			}
			from = strings.TrimSpace(from)
			if key := aliasKey(c, from); key != "" {
				r.aliases[c]["~"+key] = to
			}
			r.aliases[c]["="+from] = to
		}
	}
	return r, nil
}

// meant returns what a trimmed cell stands for: the user's aliases go before
// the accepted words, so that a local meaning of a word can be honoured, and one
// for the very spelling before one that differs in case. The alias of "" says
// what a blank means.
func (r *rules) meant(c *Column, s string) string {
	list := r.aliases[c]
	if len(list) == 0 {
		return s
	}
	for _, key := range []string{"=" + s, "~" + aliasKey(c, s)} {
		if to, ok := list[key]; ok {
			return to
		}
	}
	return s
}

// aliasKey is what a cell and an alias are compared by. In numbers, dates and
// facings punctuation counts: an alias for "1,5" must not catch 15, nor one for
// "2½" catch 2.
func aliasKey(c *Column, s string) string {
	if c.Kind == KindNumber || c.Kind == KindDate || c.Kind == KindFacings {
		return strings.ToLower(strings.Join(strings.Fields(norm.NFC.String(s)), ""))
	}
	return fold(s)
}

// NamesAny says whether a header holds one of the words, upper case, spaces and
// punctuation aside.
func NamesAny(header string, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return fold(w) != "" && strings.Contains(fold(header), fold(w)) })
}

// Suggest returns the word in known that is most likely meant by got: the one
// with the fewest edits (Levenshtein), upper case and punctuation aside, if
// those are at most one for each three letters, or one in a short word, and at
// least one letter is right. It returns "" when nothing is near. Ties go to the
// first in alphabetical order.
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

// DidYouMean is the end of a message on a word that is not known: what Suggest finds for
// it, "" where nothing is near.
func DidYouMean(got string, known []string) string {
	if s := Suggest(got, known); s != "" {
		return fmt.Sprintf("; did you mean %q?", s)
	}
	return ""
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
