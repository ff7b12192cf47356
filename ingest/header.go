package ingest

import (
	"fmt"
	"slices"
	"strings"
)

// target is what a header name stands for: a column of the catalogue in a
// unit.
type target struct {
	col  *Column // nil: leave the column alone
	unit int     // index into Column.Units, or noUnit or needsUnit
}

const (
	noUnit    = -1
	needsUnit = -2
)

// maxColumns is the most columns of a file, and the most columns of the user's
// own over all files: each costs memory in every row. A screening choice of this
// tool.
const maxColumns = 10000

// canonical maps every folded name of the catalogue to its target.
var canonical = func() map[string]target {
	m := map[string]target{}
	for _, c := range catalogue {
		bare := noUnit
		switch {
		case c.UnitOptional:
			bare = 0
		case len(c.Units) > 0:
			bare = needsUnit
		}
		m[fold(c.Name)] = target{c, bare}
		for j, u := range c.Units {
			for _, w := range append([]string{u.Suffix}, u.words...) {
				if f := fold(w); f != "" {
					m[fold(c.Name)+f] = target{c, j}
				}
			}
		}
	}
	return m
}()

// foreignUnits are units that occur in headers but not for every measure: a
// measure that ends in one is a mistake, not a column to ride through.
var foreignUnits = func() map[string]bool {
	m := map[string]bool{}
	for _, u := range []Unit{lengthMM, lengthCM, lengthM, lengthIn, lengthFt, areaM2, areaFt2, angleDeg, absS, absH,
		{"km", 0, []string{"yd", "yards", "cm2", "mm2", "in2", "acres", "ha", "rad", "gon"}}} {
		for _, w := range append([]string{u.Suffix}, u.words...) {
			m[fold(w)] = true
		}
	}
	delete(m, "")
	return m
}()

// headerMap is Options.Columns, folded: what each header fills. A header that
// is left alone has a single target without a column.
type headerMap map[string][]target

// newHeaderMap folds the user's column names and checks what they point to.
func newHeaderMap(columns map[string][]string) (headerMap, error) {
	m := headerMap{}
	spelt := map[string]string{}
	for _, from := range sortedKeys(columns) {
		key := fold(from)
		if key == "" {
			return nil, fmt.Errorf("column mapping: %q has no letter or digit to match a header by", from)
		}
		if old, ok := spelt[key]; ok {
			return nil, fmt.Errorf("column mapping: %q is mapped twice, the other time as %q (upper case, spaces and punctuation do not count); spell both alike if the column is to fill both", from, old)
		}
		spelt[key] = from
		for _, to := range columns[from] {
			t, ok := canonical[fold(to)]
			switch {
			case strings.TrimSpace(to) == "-":
				t = target{nil, noUnit}
			case !ok:
				return nil, fmt.Errorf("column mapping: %q is mapped to %q, which is not a known column%s; use a canonical name, or - to leave the column alone", from, to, DidYouMean(to, headerNames()))
			case t.unit == needsUnit:
				return nil, fmt.Errorf("column mapping: %q is mapped to %q, which lacks a unit; use one of %s", from, to, strings.Join(t.col.Headers(), ", "))
			}
			if slices.Contains(m[key], t) {
				continue
			}
			for _, old := range m[key] {
				switch {
				case old.col == nil || t.col == nil:
					return nil, fmt.Errorf("column mapping: %q is mapped to a column and to -, which leaves it alone; keep one of the two", from)
				case old.col == t.col:
					return nil, fmt.Errorf("column mapping: %q is mapped to %s in two ways; keep the one the column is written in", from, t.col.Name)
				}
			}
			m[key] = append(m[key], t)
		}
	}
	return m, nil
}

// withhold folds the names of columns that are not read.
func (m headerMap) withhold(names []string) (map[string]bool, error) {
	out := map[string]bool{}
	for _, name := range names {
		if list := m.find(name); len(list) > 0 {
			return nil, fmt.Errorf("output.withhold: %q fills %s, which is written out; map it to - in input.columns, or take it off the list", name, list[0].col.Name)
		}
		if strings.TrimSpace(name) == "" {
			return nil, fmt.Errorf("output.withhold: a name is blank; write a header of the inventory, or take it off the list")
		}
		out[extraKey(name)] = false
	}
	return out, nil
}

func headerNames() (out []string) {
	for _, c := range catalogue {
		out = append(out, c.Headers()...)
	}
	return out
}

// find returns what one header fills; nothing if it rides along.
func (m headerMap) find(header string) []target {
	key := fold(header)
	if list, ok := m[key]; ok {
		if list[0].col == nil {
			return nil
		}
		return list
	}
	if t, ok := canonical[key]; ok {
		return []target{t}
	}
	return nil
}

// bound is one column of a file.
type bound struct {
	src    int    // position in the file
	header string // as it stands in the file
	target
	extra int // index into Names.Extras when col is nil
}

// layout is what the header of one file says. It is immutable once built. One
// column of the file may be behind several known ones.
type layout struct {
	names    []string // headers of the file
	known    []bound  // in catalogue order
	id       []bound  // the columns whose cells make the id of a row
	extras   []bound
	withheld []bool // of which columns nothing may be shown
	numExtra int    // length of Building.Extra
	delim    byte   // of a CSV file
}

// bind resolves the header of a file. Every problem found is in the Reject;
// remarks become notes.
func (s *Source) bind(raw []string, delim byte) *Reject {
	if len(raw) > maxColumns {
		return whole(0, fmt.Sprintf("the file has %d columns, more than %d", len(raw), maxColumns), "leave out columns that nobody needs")
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	lay := &layout{delim: delim}
	byCol := map[*Column][]bound{}
	rej := whole(0, "", "")
	var notes []string
	for i, h := range raw {
		h = strings.TrimSpace(Printable(strings.ReplaceAll(h, "\u00a0", " ")))
		if !slices.Contains(s.met, h) && len(s.met) < maxColumns {
			s.met = append(s.met, h)
		}
		list := s.headers.find(h)
		for _, t := range list {
			byCol[t.col] = append(byCol[t.col], bound{src: i, header: h, target: t})
		}
		lay.names, lay.withheld = append(lay.names, h), append(lay.withheld, false)
		_, mapped := s.headers[fold(h)]
		if len(list) > 0 {
			continue
		}
		nameless := h == ""
		if nameless {
			h = fmt.Sprintf("column_%d", i+1)
		}
		if _, ok := s.withheld[extraKey(h)]; ok {
			lay.withheld[i], s.withheld[extraKey(h)] = true, true
			continue
		}
		if c := misnamed(h); c != nil && !mapped {
			rej.also(h, fmt.Sprintf("column %q has a unit that is not accepted for %s", h, c.Name),
				fmt.Sprintf("give it as %s, or map it to - to leave it alone", strings.Join(c.Headers(), ", ")))
			continue
		}
		if nameless {
			notes = append(notes, fmt.Sprintf("column %d has no name; it rides through as %s", i+1, h))
		} else if near := Suggest(h, headerNames()); near != "" && slip(h, near) && !mapped {
			notes = append(notes, fmt.Sprintf("column %q is not known and rides through; if %s is meant, rename it or map it", h, near))
		}
		lay.extras = append(lay.extras, bound{src: i, header: h, extra: -1})
	}
	var missing []*Column
	unmapped := func(b bound) bool { return s.headers[fold(b.header)] == nil }
	for _, c := range catalogue {
		found := byCol[c]
		switch {
		case len(found) == 0:
			if c.Required {
				missing = append(missing, c)
			}
			continue
		case c.Kind == KindID && (len(found) == 1 || !slices.ContainsFunc(found, unmapped)): // several make one id if the user said so
			lay.id = found
			for _, b := range found[1:] {
				found[0].header += " + " + b.header
			}
		case len(found) > 1:
			rej.doubled(c, found)
		case found[0].unit == needsUnit:
			rej.also(found[0].header, fmt.Sprintf("column %q does not say its unit", found[0].header),
				fmt.Sprintf("rename or map it to %s, or map it to - to leave it alone", strings.Join(c.Headers(), ", ")))
		}
		lay.known = append(lay.known, found[0])
	}
	if len(missing) > 0 {
		rej.absent(missing, lay.names, byCol)
	}
	if rej.Reason != "" {
		return rej
	}
	if len(s.extras.names)+len(lay.extras) > maxColumns {
		return whole(0, fmt.Sprintf("the files have more than %d columns of their own", maxColumns), "leave out columns that nobody needs")
	}
	s.extras.place(lay.extras)
	for _, b := range lay.extras {
		lay.numExtra = max(lay.numExtra, b.extra+1)
		if name := s.extras.names[b.extra]; name != b.header && fold(name) != fold(b.header) {
			notes = append(notes, fmt.Sprintf("column %q has the name of another column; it rides through as %q", b.header, name))
		}
	}
	for _, b := range lay.known {
		if name := b.col.Name; !slices.Contains(s.from[name], b.header) {
			s.from[name] = append(s.from[name], b.header)
		}
	}
	for _, n := range notes {
		s.notes = append(s.notes, s.files[s.file]+": "+n)
	}
	s.lay = lay
	return nil
}

// misnamed finds the measure that a header names in a unit that is not accepted
// for it.
func misnamed(header string) *Column {
	key := fold(header)
	for _, c := range catalogue {
		if rest, ok := strings.CutPrefix(key, fold(c.Name)); ok && c.Kind == KindNumber && foreignUnits[rest] {
			return c
		}
	}
	return nil
}

// also adds a problem of the same file.
func (r *Reject) also(column, reason, fix string) {
	join := func(to *string, s, mark string) {
		if *to != "" && s != "" {
			s = mark + s
		}
		*to += s
	}
	join(&r.Column, column, ", ")
	join(&r.Reason, reason, "; ")
	if !strings.Contains(r.Fix, fix) {
		join(&r.Fix, fix, "; ")
	}
}

// doubled reports columns that all give one of the catalogue.
func (r *Reject) doubled(c *Column, found []bound) {
	var names []string
	for _, b := range found {
		names = append(names, fmt.Sprintf("%q", b.header))
	}
	how, fix := "all give "+c.Name, "keep one of them, or map the others to - to leave them alone"
	if c.Kind == KindNumber && slices.ContainsFunc(found, func(b bound) bool { return b.unit != found[0].unit }) {
		how = "give " + c.Name + " in two units"
	}
	if c.Kind == KindID {
		fix += "; to join them into one id, map each of them to " + c.Name
	}
	r.also(strings.Join(names, ", "), fmt.Sprintf("columns %s %s", strings.Join(names, " and "), how), fix)
}

// absent reports the required columns that are missing, and which of the
// file's headers they may be.
func (r *Reject) absent(missing []*Column, headers []string, byCol map[*Column][]bound) {
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
	column, fix := "", "add the column, or map yours to it in the configuration (input.columns)"
	if len(missing) == 1 {
		column = missing[0].Name
	}
	for c, home := range byCol {
		if missing[0].Kind == KindID && c.Kind == KindHome {
			fix += fmt.Sprintf("; where a row is a wall of a home, map %q and the name of the wall to %s, one entry each", home[0].header, missing[0].Name)
		}
	}
	if len(guesses) > 0 {
		fix += "; perhaps " + strings.Join(guesses, ", ")
	}
	const most = 40
	var has []string
	for _, h := range headers[:min(len(headers), most)] {
		if h != "" {
			has = append(has, fmt.Sprintf("%q", shorten(h)))
		}
	}
	if more := len(headers) - most; more > 0 {
		has = append(has, fmt.Sprintf("and %d more", more))
	}
	r.also(column, "required column missing: "+strings.Join(names, ", "), fix+"; the file has "+strings.Join(has, ", "))
}

// extras are the ride-through columns of all files; Names.Extras says which are one.
type extras struct {
	names []string         // as they are called in the results
	spelt []string         // as they stood in the file
	byKey map[string][]int // indices by the folded spelling in the file
	taken map[string]bool  // folded names in the results
}

func extraKey(name string) string {
	if key := fold(name); key != "" {
		return key
	}
	return name
}

// place gives an index to each of the columns of one file, all different. A header
// takes the index of an earlier file that spelt it the same, else one that folds the
// same, else a new one.
func (e *extras) place(list []bound) {
	used, own := map[int]bool{}, map[string]bool{}
	for _, exactly := range []bool{true, false} {
		for i := range list {
			b, key := &list[i], extraKey(list[i].header)
			own[key] = true
			for _, k := range e.byKey[key] {
				if b.extra < 0 && !used[k] && (!exactly || e.spelt[k] == b.header) {
					b.extra, used[k] = k, true
				}
			}
		}
	}
	for i := range list {
		b := &list[i]
		if b.extra >= 0 {
			continue
		}
		// Names in the results must stay apart where case does not count: in
		// spreadsheets and in most databases.
		key, name := extraKey(b.header), b.header
		for n := max(2, len(e.byKey[key])+1); e.taken[extraKey(name)]; n++ {
			if next := fmt.Sprintf("%s (%d)", b.header, n); !own[extraKey(next)] {
				name = next
			}
		}
		b.extra = len(e.names)
		e.names, e.spelt = append(e.names, name), append(e.spelt, b.header)
		e.byKey[key], e.taken[extraKey(name)] = append(e.byKey[key], b.extra), true
	}
}
