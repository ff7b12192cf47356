package ingest

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Proposal is what a header that is not known may stand for, by its name alone.
type Proposal struct {
	Header string // as it stands in the file, Printable
	Column string // a name of Column.Headers; "" where nothing is near
	Help   string // of the column
	// Doubt says why the proposal must not be taken unread, "" where its name
	// speaks for it.
	Doubt string
}

// ReadFrom returns the headers that a column was read from so far, by its name
// without unit.
func (s *Source) ReadFrom(column string) []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.from[column]
}

// Propose says for each header met so far that fills no column, and that the
// options do not leave alone, which column it may stand for: the one whose name is
// a few edits away, else the one whose name and help text share most words with
// it. No column is proposed twice, and none that has a header. Where nothing is near
// the id of a building, it is the first header left: registers begin with their key
// (common practice, no source). missing are required columns that no header seems
// to be.
func (s *Source) Propose() (out []Proposal, missing []Column) {
	type guess struct {
		at          int // in out
		col         *Column
		name, doubt string
		score       float64
	}
	var guesses []guess
	taken := map[*Column]bool{}
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, h := range s.met {
		list := s.headers.find(h)
		for _, t := range list {
			taken[t.col] = t.unit != needsUnit
		}
		if _, mapped := s.headers[fold(h)]; mapped || h == "" || len(list) > 0 && list[0].unit != needsUnit {
			continue
		}
		out = append(out, Proposal{Header: h})
		near := Suggest(h, headerNames())
		for _, c := range catalogue {
			name, stated := c.headerFor(h)
			help := c.Help
			if c.Kind == KindID || c.Kind == KindHome {
				help = "" // it speaks of rows and walls, not of what the cells hold
			}
			score, doubt := likeness(h, c.Name, help), ""
			if near != "" && slices.Contains(c.Headers(), near) {
				score++
			}
			if !stated {
				score, doubt = score-unitUnsaid, "the header names no unit; one of "+strings.Join(c.Headers(), ", ")
			}
			if name != "" && score >= leastLikeness {
				guesses = append(guesses, guess{len(out) - 1, c, name, doubt, score})
			}
		}
		guesses = append(guesses, guess{len(out) - 1, catalogue[0], catalogue[0].Name, "no header has the name of an id, and this is the first that is left", 0})
	}
	slices.SortStableFunc(guesses, func(a, b guess) int { return cmp.Compare(b.score, a.score) })
	for _, g := range guesses {
		if p := &out[g.at]; p.Column == "" && !taken[g.col] {
			p.Column, p.Help, p.Doubt, taken[g.col] = g.name, g.col.Help, g.doubt, true
		}
	}
	for _, c := range catalogue {
		if c.Required && !taken[c] {
			missing = append(missing, *c)
		}
	}
	return out, missing
}

// ProposeWord returns the accepted word of a field that a value may stand for, ""
// where nothing is near or the field has no list of words. A blank may stand for
// unknown where that is accepted.
func (s *Source) ProposeWord(field, value string) string {
	c := canonical[fold(field)].col
	v := s.rules.words[c]
	if v == nil {
		return ""
	}
	if value == "" && c.acceptsUnknown() {
		return c.Levels[0]
	}
	if i, ok := v.find(Suggest(value, v.known)); ok {
		return v.ids[i]
	}
	best, most, tie := "", leastLikeness, false
	for _, word := range v.known {
		i, ok := v.find(word)
		if !ok || fold(word) == "unknown" {
			continue
		}
		// Both ways, so that a word that says more is further off.
		switch score := (likeness(value, word, "") + likeness(word, value, "")) / 2; {
		case score > most:
			best, most, tie = v.ids[i], score, false
		case score == most && v.ids[i] != best:
			tie = true
		}
	}
	if tie { // two that are alike near are no suggestion
		return ""
	}
	return best
}

// headerFor writes a column's name with the unit that a header ends in, and says
// whether the header names one where it must. It is "" where the header names a
// unit that the column has not.
func (c *Column) headerFor(header string) (name string, stated bool) {
	parts := strings.FieldsFunc(header, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("_()[],;:", r) })
	last := ""
	if n := len(parts); n > 1 {
		last = parts[n-1]
	}
	switch i := c.unit(last); {
	case last != "" && i >= 0:
		return c.Name + "_" + c.Units[i].Suffix, true
	case last != "" && foreignUnits[fold(last)]:
		return "", false
	case len(c.Units) == 0 || c.UnitOptional:
		return c.Name, true
	}
	return c.Name + "_" + c.Units[0].Suffix, false
}

// What words count for, from 0 to 1: common practice, no source. A wrong proposal
// costs a reader a line to mend, a missing one costs a search.
const (
	leastLikeness = 0.35
	stemCounts    = 0.8  // a word that shares its first letters only
	helpCounts    = 0.5  // one that stands in the help text and not in the name
	unitUnsaid    = 0.45 // taken off where a header does not name the unit it needs
)

// occurrences counts the columns that have a word: one of all columns tells little.
var occurrences = func() map[string]float64 {
	seen := map[string]float64{}
	for _, c := range catalogue {
		list := split(c.Name + " " + c.Help)
		slices.Sort(list)
		for _, w := range slices.Compact(list) {
			seen[w]++
		}
	}
	return seen
}()

// likeness says how many words of a text, by what they tell, occur in a name or in
// its help text.
func likeness(text, name, help string) float64 {
	score, all := 0.0, 0.0
	names, helps := split(name), split(help)
	for _, w := range split(text) {
		weight := 1 / max(occurrences[w], 1)
		all += weight
		score += weight * max(occurs(w, names), helpCounts*occurs(w, helps))
	}
	if all == 0 {
		return 0
	}
	return score / all
}

// split gives the words of a text of three letters or more in lower case, without
// units and without "type", which every header may have.
func split(text string) []string {
	return slices.DeleteFunc(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }),
		func(w string) bool { return utf8.RuneCountInString(w) < 3 || foreignUnits[w] || w == "type" })
}

func occurs(word string, list []string) float64 {
	const stem = 4
	found := 0.0
	for _, w := range list {
		switch {
		case w == word:
			return 1
		case len(w) >= stem && len(word) >= stem && w[:stem] == word[:stem]:
			found = stemCounts
		}
	}
	return found
}
