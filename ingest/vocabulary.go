package ingest

import (
	"fmt"
	"strings"
)

// Term is one accepted word of an open vocabulary, such as a material or a
// climate zone: its id, its label, and other spellings.
type Term struct {
	ID, Label string
	Aliases   []string
}

// vocabulary finds a value by any accepted spelling. It is immutable.
type vocabulary[T any] struct {
	exact     map[string]T // as canonically written
	folded    map[string]T
	ambiguous map[string]string // folded spelling → what it could be
	known     []string          // for suggestions
	accepted  string            // for messages
}

func (v *vocabulary[T]) find(s string) (T, bool) {
	if x, ok := v.exact[s]; ok {
		return x, true
	}
	x, ok := v.folded[fold(s)]
	return x, ok
}

// unknown says what is wrong with a word that was not found.
func (v *vocabulary[T]) unknown(s string, c *Column) problem {
	if both, ok := v.ambiguous[fold(s)]; ok {
		return problem{fmt.Sprintf("%q could mean %s", shorten(s), both), "use the id"}
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
	case c.role == roleZone:
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

// levels builds the vocabulary of a category. User aliases win over the words
// themselves, so that a local meaning of a word can be honoured.
func levels(c *Column, aliases map[string]string) (*vocabulary[uint8], error) {
	v := &vocabulary[uint8]{exact: map[string]uint8{}, folded: map[string]uint8{}, accepted: strings.Join(c.words(), ", ")}
	for i, w := range c.Levels {
		if i == 0 && c.KnownOnly {
			continue
		}
		v.exact[w], v.folded[fold(w)] = uint8(i), uint8(i)
		v.known = append(v.known, w)
	}
	switch {
	case len(c.Levels) == 3 && c.Levels[1] == "yes" && c.Levels[2] == "no":
		for i, words := range []string{1: "y true 1", 2: "n false 0"} {
			for _, w := range strings.Fields(words) {
				v.exact[w], v.folded[w] = uint8(i), uint8(i)
			}
		}
	case Category(c.slot) == HumidityClass:
		for i := uint8(1); i <= 5; i++ {
			v.folded[fmt.Sprintf("class%d", i)] = i
		}
	}
	for _, from := range sortedKeys(aliases) {
		level, ok := v.find(aliases[from])
		if !ok {
			return nil, aliasError(c.Name, from, aliases[from], v.known)
		}
		v.exact[from] = level
		if key := fold(from); key != "" {
			v.folded[key] = level
			delete(v.exact, key) // a canonical word that the alias redefines
			v.exact[from] = level
		}
	}
	return v, nil
}

// terms builds the vocabulary of a text field. Ids win over aliases and those
// over labels; an alias or label of two terms is refused in the row that uses
// it. With no terms at all, nil is returned and any value is accepted.
func terms(c *Column, list []Term, aliases map[string]string) (*vocabulary[string], error) {
	if len(list) == 0 {
		return nil, nil
	}
	v := &vocabulary[string]{exact: map[string]string{}, folded: map[string]string{}, ambiguous: map[string]string{}}
	for _, t := range list {
		v.exact[t.ID], v.folded[fold(t.ID)] = t.ID, t.ID
		v.known = append(v.known, t.ID)
	}
	if len(list) <= 12 {
		v.accepted = strings.Join(v.known, ", ")
	}
	layer := func(spellings func(Term) []string) {
		next := map[string]string{}
		for _, t := range list {
			for _, s := range spellings(t) {
				key := fold(s)
				if key == "" || v.folded[key] != "" {
					continue
				}
				if other, ok := next[key]; ok && other != t.ID {
					v.ambiguous[key] = other + " or " + t.ID
				}
				next[key] = t.ID
				v.known = append(v.known, s)
			}
		}
		for key, id := range next {
			if _, twice := v.ambiguous[key]; !twice {
				v.folded[key] = id
			}
		}
	}
	layer(func(t Term) []string { return t.Aliases })
	layer(func(t Term) []string { return []string{t.Label} })
	for _, from := range sortedKeys(aliases) {
		id, ok := v.find(aliases[from])
		if !ok {
			return nil, aliasError(c.Name, from, aliases[from], v.known)
		}
		v.exact[from] = id
		if key := fold(from); key != "" {
			v.folded[key] = id
			delete(v.ambiguous, key)
		}
	}
	return v, nil
}

func aliasError(field, from, to string, known []string) error {
	return fmt.Errorf("alias for %s: %q is mapped to %q, which is not known%s", field, from, to, didYouMean(to, known))
}
