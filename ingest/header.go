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
// Arrow record holds the columns that known ones are read from and then the
// extras; one column may be behind several known ones.
type layout struct {
	width    int     // columns in the file
	known    []bound // in catalogue order
	extras   []bound
	read     []int // positions in the file, by index into the Arrow record
	numExtra int   // length of Building.Extra
	idSrc    int
}

// settle says which columns of the file are read, each once.
func (lay *layout) settle(places []int) {
	at := map[int]int{}
	for _, list := range [][]bound{lay.known, lay.extras} {
		for i := range list {
			b := &list[i]
			k, ok := at[b.src]
			if !ok {
				k = len(lay.read)
				at[b.src] = k
				lay.read = append(lay.read, b.src)
			}
			b.arrow = k
		}
	}
	for i, k := range places {
		lay.extras[i].extra = k
		lay.numExtra = max(lay.numExtra, k+1)
	}
}

// trouble is a problem with a whole file before it has a place.
type trouble struct{ column, value, reason, fix string }

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

// bind resolves a header line. place gives the positions of ride-through
// columns in the union of all files. Every problem found is returned; with any,
// the layout must not be used.
func (m headerMap) bind(headers []string, place func([]string) (at []int, names []string)) (lay *layout, problems []trouble, notes []string) {
	lay = &layout{width: len(headers), idSrc: -1}
	byCol := map[int][]bound{}
	var missing []*Column
	var riding []string
	for i, raw := range headers {
		h := strings.TrimSpace(strings.ReplaceAll(raw, "\u00a0", " "))
		if list := m.find(h); len(list) > 0 {
			for _, t := range list {
				byCol[t.col] = append(byCol[t.col], bound{src: i, header: h, target: t})
			}
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
		} else if near := Suggest(h, headerNames()); near != "" && slip(h, near) && !m.leftAlone(h) {
			notes = append(notes, fmt.Sprintf("column %q is not known and rides through; if %s is meant, rename it or map it", h, near))
		}
		riding = append(riding, h)
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
	places, names := place(riding)
	lay.settle(places)
	for i, h := range riding {
		if names[i] != h && fold(names[i]) != fold(h) {
			notes = append(notes, fmt.Sprintf("column %q has the name of another column; it rides through as %q", h, names[i]))
		}
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
	if len(units) > 1 && c.Kind == KindNumber {
		t.reason = fmt.Sprintf("columns %s give %s in two units", strings.Join(names, " and "), c.Name)
	}
	return t
}

// absent reports the required columns that are missing, and which of the
// file's headers they may be.
func absent(missing []*Column, headers []string) trouble {
	var names, guesses []string
	for _, c := range missing {
		names = append(names, c.oneHeader())
		for _, name := range c.Headers() {
			if h := Suggest(name, headers); h != "" {
				guesses = append(guesses, fmt.Sprintf("%q as %s", h, name))
				break
			}
		}
	}
	t := trouble{"", "", "required column missing: " + strings.Join(names, ", "),
		"add the column, or map yours to it in the configuration (input.columns)"}
	if len(missing) == 1 {
		t.column = missing[0].Name
	}
	if len(guesses) > 0 {
		t.fix += "; perhaps " + strings.Join(guesses, ", ")
	}
	t.fix += "; the file has " + named(headers)
	return t
}

// named lists the headers of a file for a message.
func named(headers []string) string {
	const most = 40
	var out []string
	for _, h := range headers[:min(len(headers), most)] {
		if h = strings.TrimSpace(h); h != "" {
			out = append(out, fmt.Sprintf("%q", shorten(h)))
		}
	}
	if more := len(headers) - most; more > 0 {
		out = append(out, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(out, ", ")
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
