package ingest

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

func foldUnicode(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, norm.NFC.String(s))
}

// target is what a header name stands for: a column of the catalogue in a
// unit. unit is an index into Column.Units, or noUnit or needsUnit.
type target struct{ col, unit int }

const (
	noUnit    = -1
	needsUnit = -2
	rideAlong = -3 // in place of col: leave the column alone
)

// canonical maps every folded name of the catalogue to its target.
var canonical = buildCanonical()

func buildCanonical() map[string]target {
	m := map[string]target{}
	for i, c := range catalogue {
		bare := noUnit
		switch {
		case c.UnitOptional:
			bare = 0
		case len(c.Units) > 0:
			bare = needsUnit
		}
		m[fold(c.Name)] = target{i, bare}
		for j, u := range c.Units {
			for _, w := range append([]string{u.Suffix}, u.words...) {
				if f := fold(w); f != "" {
					m[fold(c.Name)+f] = target{i, j}
				}
			}
		}
	}
	return m
}

// foreignUnits are units that occur in headers but not for every measure: a
// measure that ends in one is a mistake, not a column to ride through.
var foreignUnits = func() map[string]bool {
	m := map[string]bool{}
	for _, u := range []Unit{lengthMM, lengthCM, lengthM, lengthIn, lengthFt, areaM2, areaFt2, angleDeg, absS, absH,
		{"km", 0, []string{"yd", "yards", "cm2", "mm2", "in2", "acres", "ha", "rad", "gon"}}} {
		for _, w := range append([]string{u.Suffix}, u.words...) {
			if f := fold(w); f != "" {
				m[f] = true
			}
		}
	}
	return m
}()

// bound is one column of a file.
type bound struct {
	src    int    // position in the file
	header string // as it stands in the file
	target
	extra int // index into Source.ExtraColumns when col is rideAlong
	arrow int // index into the Arrow record
}

// layout is what the header of one file says. It is immutable once built. The
// Arrow record holds the known columns and then the extras.
type layout struct {
	width    int     // columns in the file
	known    []bound // in catalogue order
	extras   []bound
	numExtra int // length of Building.Extra
	idSrc    int
}

// trouble is a problem with a whole file before it has a place.
type trouble struct{ column, value, reason, fix string }

// headerMap is Options.Columns, folded.
type headerMap map[string]target

// newHeaderMap folds the user's column names and checks what they point to.
func newHeaderMap(columns map[string]string) (headerMap, error) {
	m := headerMap{}
	for _, from := range sortedKeys(columns) {
		to := columns[from]
		t, ok := canonical[fold(to)]
		switch {
		case strings.TrimSpace(to) == "-":
			t = target{rideAlong, noUnit}
		case !ok:
			return nil, fmt.Errorf("column mapping: %q is mapped to %q, which is not a known column%s; use a canonical name, or - to leave the column alone", from, to, didYouMean(to, headerNames()))
		case t.unit == needsUnit:
			return nil, fmt.Errorf("column mapping: %q is mapped to %q, which lacks a unit; use one of %s", from, to, strings.Join(catalogue[t.col].Headers(), ", "))
		}
		key := fold(from)
		if key == "" {
			return nil, fmt.Errorf("column mapping: %q has no letter or digit to match a header by", from)
		}
		if old, ok := m[key]; ok && old != t {
			return nil, fmt.Errorf("column mapping: %q is mapped twice, to different columns (upper case, spaces and punctuation do not count)", from)
		}
		m[key] = t
	}
	return m, nil
}

func headerNames() []string {
	var out []string
	for _, c := range catalogue {
		out = append(out, c.Headers()...)
	}
	return out
}

// find resolves one header.
func (m headerMap) find(header string) (target, bool) {
	key := fold(header)
	if t, ok := m[key]; ok {
		return t, t.col != rideAlong
	}
	t, ok := canonical[key]
	return t, ok
}

// misnamed says whether a header that rides through looks like a measure in a
// unit that is not accepted for it.
func (m headerMap) misnamed(header string) (Column, bool) {
	key := fold(header)
	if _, ok := m[key]; ok {
		return Column{}, false
	}
	for _, c := range catalogue {
		if rest, ok := strings.CutPrefix(key, fold(c.Name)); ok && c.Kind == KindNumber && foreignUnits[rest] {
			return c, true
		}
	}
	return Column{}, false
}

// score counts the required columns and then the cells of a header, to choose
// between delimiters.
func (m headerMap) score(headers []string) int {
	known := 0
	for _, h := range headers {
		if _, ok := m.find(h); ok {
			known++
		}
	}
	return known*10000 + min(len(headers), 9999)
}

// bind resolves a header line. extraIndex gives the position of a ride-through
// column in the union of all files. Every problem found is returned; with any,
// the layout must not be used.
func (m headerMap) bind(headers []string, extraIndex func(string) int) (lay *layout, problems []trouble, notes []string) {
	lay = &layout{width: len(headers), idSrc: -1}
	byCol := map[int][]bound{}
	var missing []*Column
	used := map[string]int{}
	for i, raw := range headers {
		h := strings.TrimSpace(strings.ReplaceAll(raw, "\u00a0", " "))
		t, ok := m.find(h)
		if ok {
			byCol[t.col] = append(byCol[t.col], bound{src: i, header: h, target: t})
			continue
		}
		if c, bad := m.misnamed(h); bad {
			problems = append(problems, trouble{h, "", fmt.Sprintf("column %q has a unit that is not accepted for %s", h, c.Name),
				fmt.Sprintf("give it as %s, or map it to - to leave it alone", strings.Join(c.Headers(), ", "))})
			continue
		}
		if h == "" {
			h = fmt.Sprintf("column_%d", i+1)
			notes = append(notes, fmt.Sprintf("column %d has no name; it rides through as %s", i+1, h))
		} else if near := Suggest(h, headerNames()); near != "" && slip(h, near) && m[fold(h)].col != rideAlong {
			notes = append(notes, fmt.Sprintf("column %q is not known and rides through; if %s is meant, rename it or map it", h, near))
		}
		used[h]++
		if n := used[h]; n > 1 {
			h = fmt.Sprintf("%s (%d)", h, n)
		}
		lay.extras = append(lay.extras, bound{src: i, header: h, target: target{rideAlong, noUnit}})
	}
	for i := range catalogue {
		c, found := &catalogue[i], byCol[i]
		switch {
		case len(found) == 0:
			if c.Required {
				missing = append(missing, c)
			}
		case len(found) > 1:
			problems = append(problems, doubled(c, found))
		case found[0].unit == needsUnit:
			problems = append(problems, trouble{found[0].header, "", fmt.Sprintf("column %q does not say its unit", found[0].header),
				fmt.Sprintf("rename or map it to %s, or map it to - to leave it alone", strings.Join(c.Headers(), ", "))})
		default:
			lay.known = append(lay.known, found[0])
			if c.role == roleID {
				lay.idSrc = found[0].src
			}
		}
	}
	if len(missing) > 0 {
		problems = append(problems, absent(missing, headers))
	}
	if len(problems) > 0 {
		return nil, problems, nil
	}
	for i := range lay.known {
		lay.known[i].arrow = i
	}
	for i := range lay.extras {
		lay.extras[i].arrow = len(lay.known) + i
		lay.extras[i].extra = extraIndex(lay.extras[i].header)
		lay.numExtra = max(lay.numExtra, lay.extras[i].extra+1)
	}
	return lay, nil, notes
}

func doubled(c *Column, found []bound) trouble {
	var names []string
	units := map[int]bool{}
	for _, b := range found {
		names = append(names, fmt.Sprintf("%q", b.header))
		units[b.unit] = true
	}
	t := trouble{strings.Join(names, ", "), "", fmt.Sprintf("columns %s all give %s", strings.Join(names, " and "), c.Name), "keep one of them, or map the others to - to leave them alone"}
	if len(units) > 1 {
		t.reason = fmt.Sprintf("columns %s give %s in two units", strings.Join(names, " and "), c.Name)
	}
	return t
}

// absent reports the required columns that are missing, and which of the
// file's headers they may be.
func absent(missing []*Column, headers []string) trouble {
	var names, guesses []string
	for _, c := range missing {
		names = append(names, strings.Join(c.Headers(), " or "))
		for _, name := range c.Headers() {
			if h := Suggest(name, headers); h != "" {
				guesses = append(guesses, fmt.Sprintf("%q as %s", h, name))
				break
			}
		}
	}
	t := trouble{strings.Join(names, ", "), "", "required column missing: " + strings.Join(names, ", "),
		"add the column, or map yours to it in the configuration (input.columns)"}
	if len(guesses) > 0 {
		t.fix += "; perhaps " + strings.Join(guesses, ", ")
	}
	return t
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
