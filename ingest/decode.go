package ingest

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// problem says what is wrong with a cell, a record or a file, and what to do. The zero
// value means nothing is.
type problem struct{ reason, fix string }

func (p problem) Error() string { return p.reason }

func (p problem) bad() bool { return p.reason != "" }

// decoder judges one batch, column by column. It belongs to one goroutine.
type decoder struct {
	b      *Batch
	rows   []Building
	bad    []bool
	filled []bool // whether a required cell of the row is filled
	found  []Reject
}

// column judges all cells of one known column.
func (d *decoder) column(col *bound) {
	c := col.col
	join := c.Kind == KindID && len(d.b.layout.id) > 1
	words := d.b.src.rules.words[c]
	memo := map[string]problem{} // looking for the nearest word is slow; files repeat their mistakes
	for i := range d.rows {
		found := d.b.cell(i, col.src)
		if join {
			found = d.joined(i)
		}
		s := d.b.src.rules.meant(c, strings.TrimSpace(found))
		p, known := memo[s]
		switch {
		case s != "":
			d.filled[i] = d.filled[i] || c.Required
			if !known {
				if p = c.set(&d.rows[i], words, col.unit, s, d.b.layout.delim); p.bad() {
					memo[s] = p
				}
			}
		case c.Required:
			p = problem{"the cell is blank, and " + c.Name + " is required", "fill the cell, or leave the building out"}
			if c.acceptsUnknown() {
				p.fix = "fill the cell; write unknown if it is not known, or add an alias for field " + c.Name + " from \"\" to unknown in the configuration (input.aliases)"
			}
		}
		if p.bad() {
			d.bad[i] = true
			d.found = append(d.found, Reject{
				File: d.b.src.files[d.b.file], Line: d.rows[i].Line, Column: col.header, Field: c.Name, Value: shorten(found),
				Reason: p.reason, Fix: p.fix, Known: shorten(d.rows[i].ID),
			})
		}
	}
}

// joined is the id of a row that several columns make together.
func (d *decoder) joined(row int) string {
	var parts []string
	for i := range d.b.layout.id {
		if s := strings.TrimSpace(d.b.cell(row, d.b.layout.id[i].src)); s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, " / ")
}

// set judges a cell of a column, trimmed and not blank, and enters it in its row.
// Columns are judged in the order of the catalogue. v are the words of the column,
// nil where any is accepted; delim is that of the file.
func (c *Column) set(b *Building, v *vocabulary, unit int, s string, delim byte) (p problem) {
	switch c.Kind {
	case KindID:
		b.ID, p = s, checkID(s)
	case KindHome:
		b.Home, p = SameID(s), checkID(s)
	case KindCategory, KindStone, KindZone:
		i := 0
		if v != nil {
			var ok bool
			if i, ok = v.find(s); !ok {
				return v.unknown(s, c)
			}
			s = v.ids[i]
		}
		if c.Kind == KindCategory {
			b.Cat[c.slot] = uint8((i + 1) % len(c.Levels)) // unknown is the last of the words and level 0
		} else {
			*b.text(c) = s
		}
	case KindNumber:
		var ends Range
		if ends, p = parseNumber(s, c, unit, delim); p.bad() {
			break
		}
		b.Num[c.slot] = ends.Low + (ends.High-ends.Low)/2
		if ends.Low != ends.High {
			b.Ranges = append(b.Ranges, ends)
		}
	case KindFacings:
		b.Facings, p = parseFacings(s, b.Num[Orientation])
	case KindDate:
		*b.text(c), p = parseDate(s, unit)
	default:
		*b.text(c) = Printable(s)
	}
	if p.bad() && c.acceptsUnknown() && fold(s) == "unknown" {
		return problem{}
	}
	return p
}

// checkID refuses what cannot be the key of a row or a home.
func checkID(s string) problem {
	switch {
	case len(s) > 256:
		return problem{"the id is longer than 256 bytes", "check the quotes around here, or give a shorter id"}
	case strings.ContainsRune(s, utf8.RuneError):
		return problem{"the id holds a character that an earlier conversion destroyed", "export the file again in the right encoding"}
	case Printable(s) != s:
		return problem{"the id holds a line end, a control character or a sign that turns the direction of writing", "remove it, or check the quotes around here"}
	}
	return problem{}
}

// rejects returns what was found. The rejects of a row in which no required cell is
// filled become one: such a row is no building with six faults, but a title, a sum or
// a remark that somebody wrote between the rows.
func (d *decoder) rejects() (out []Reject) {
	told := make([]bool, len(d.rows))
	for _, r := range d.found {
		row, _ := slices.BinarySearch(d.b.lines, r.Line)
		r.Home = d.rows[row].Home // known only now: the column may stand anywhere
		if !d.filled[row] {
			if told[row] {
				continue
			}
			told[row] = true
			r = Reject{File: r.File, Line: r.Line, Reason: "none of the required columns is filled: this seems to be a title, a sum or a remark and not a building",
				Fix: "delete the line, or fill the required columns if it is a building"}
		}
		out = append(out, r)
	}
	return out
}

// ride carries the cells of unknown columns along; no writer can forget that they
// must be harmless.
func (d *decoder) ride() {
	lay := d.b.layout
	n := lay.numExtra
	slab := make([]string, n*len(d.rows))
	for i := range d.rows {
		d.rows[i].Extra = slab[i*n : (i+1)*n : (i+1)*n]
		for _, x := range lay.extras {
			d.rows[i].Extra[x.extra] = harmless(d.b.cell(i, x.src))
		}
	}
}

// Suppose returns a copy of a building with one fact changed, by a name of
// Column.Headers and a value as a cell would hold it. A blank value makes an
// optional fact one that is not given. An error names the column, the value, what
// was expected and what to do; the id of a building cannot be changed.
func (s *Source) Suppose(b *Building, name, value string) (*Building, error) {
	t, known := canonical[fold(name)]
	if !known {
		return nil, fmt.Errorf("%q is not a column of an inventory%s; wallsift help columns lists them", name, DidYouMean(name, headerNames()))
	}
	c := t.col
	switch {
	case t.unit == needsUnit:
		return nil, fmt.Errorf("%s lacks a unit; use one of %s", name, strings.Join(c.Headers(), ", "))
	case c.Kind == KindID:
		return nil, fmt.Errorf("%s names the row and is no fact of it; change another column", c.Name)
	}
	out := *b
	out.Ranges = slices.DeleteFunc(slices.Clone(b.Ranges), func(r Range) bool { return c.Kind == KindNumber && r.Of == Number(c.slot) })
	out.forget(c)
	if value = s.rules.meant(c, strings.TrimSpace(value)); value == "" {
		if c.Required {
			return nil, fmt.Errorf("%s is required and cannot be blank; give a value as a cell of the inventory may hold it", name)
		}
		return &out, nil
	}
	if p := c.set(&out, s.rules.words[c], t.unit, value, ','); p.bad() {
		return nil, fmt.Errorf("%s %q: %s; %s", name, shorten(value), p.reason, p.fix)
	}
	slices.SortFunc(out.Ranges, func(x, y Range) int { return int(x.Of) - int(y.Of) })
	return &out, nil
}

// forget makes the fact of a column one that is not given.
func (b *Building) forget(c *Column) {
	switch c.Kind {
	case KindCategory:
		b.Cat[c.slot] = 0
	case KindNumber:
		b.Num[c.slot] = math.NaN()
	case KindFacings:
		b.Facings = 0
	default:
		*b.text(c) = ""
	}
}
