package ingest

import (
	"math"
	"strings"
	"unicode/utf8"
)

// decoder judges one batch, column by column. It belongs to one goroutine.
type decoder struct {
	b     *Batch
	rows  []Building
	bad   []bool
	blank []uint8 // required cells that are blank, by row
	found []Reject
}

func newDecoder(b *Batch) *decoder {
	n := b.Rows()
	d := &decoder{b: b, rows: make([]Building, n), bad: make([]bool, n), blank: make([]uint8, n)}
	for i := range d.rows {
		r := &d.rows[i]
		r.File, r.Line = b.file, b.line(i)
		for k := range r.Num {
			r.Num[k] = math.NaN()
		}
	}
	return d
}

// reject records a problem of one cell.
func (d *decoder) reject(row int, col *bound, value string, p problem) {
	d.bad[row] = true
	d.found = append(d.found, Reject{
		File: d.b.name, Line: d.rows[row].Line, Column: col.header, Field: catalogue[col.col].Name, Value: shorten(value),
		Reason: p.reason, Fix: p.fix, Known: shorten(d.rows[row].ID),
	})
}

// column judges all cells of one known column.
func (d *decoder) column(col *bound) {
	c := &catalogue[col.col]
	a := d.b.rec.Column(col.arrow)
	if c.role == roleNumber {
		if values := floatsOf(a); values != nil && d.b.rules.aliases[c] == nil {
			d.floats(col, c, values, a.NullN() > 0, a.IsNull)
			return
		}
	}
	text := cellsOf(a)
	switch c.role {
	case roleID:
		d.each(col, c, text, d.id)
	case roleStone:
		d.each(col, c, text, d.term(c, d.b.rules.stones, func(b *Building) *string { return &b.Stone }))
	case roleZone:
		d.each(col, c, text, d.term(c, d.b.rules.zones, func(b *Building) *string { return &b.Zone }))
	case roleCategory:
		d.each(col, c, text, d.level(c))
	case roleNumber:
		d.each(col, c, text, d.number(col, c))
	case roleHome:
		d.each(col, c, text, func(b *Building, s string) problem { return name(s, &b.Home) })
	case roleFacings:
		d.each(col, c, text, func(b *Building, s string) (p problem) {
			b.Facings, p = parseFacings(s, b.Num[Orientation])
			return p
		})
	case roleText:
		d.each(col, c, text, func(b *Building, s string) problem {
			b.Text[c.slot] = s
			return damagedText(s)
		})
	case roleDate:
		d.each(col, c, text, func(b *Building, s string) (p problem) {
			if b.Text[c.slot], p = parseDate(s, col.unit); p.bad() && c.acceptsUnknown() && fold(s) == "unknown" {
				return problem{}
			}
			return p
		})
	}
}

// each hands every cell of a column, trimmed, to set; blanks and aliases of
// plain columns are dealt with here.
func (d *decoder) each(col *bound, c *Column, text cells, set func(*Building, string) problem) {
	aliases := d.b.rules.aliases[c]
	memo := map[string]problem{}
	for i := range d.rows {
		found := text(i)
		s := trim(found)
		if aliases != nil {
			if to, ok := aliases[s]; ok {
				s = to
			} else if to, ok := aliases[aliasKey(c, s)]; ok {
				s = to
			}
		}
		if s == "" {
			if c.Required {
				d.blankCell(i, col, c, found)
			}
			continue
		}
		// Looking for the nearest word is slow; files repeat their mistakes.
		if len(memo) > 0 {
			if p, ok := memo[s]; ok {
				d.reject(i, col, found, p)
				continue
			}
		}
		if p := set(&d.rows[i], s); p.bad() {
			d.reject(i, col, found, p)
			memo[s] = p
		}
	}
}

func requiredFix(c *Column) string {
	if c.role == roleCategory && !c.KnownOnly {
		return "fill the cell; write unknown if it is not known"
	}
	return "fill the cell, or leave the building out"
}

func (d *decoder) blankCell(row int, col *bound, c *Column, found string) {
	d.blank[row]++
	d.reject(row, col, found, problem{"the cell is blank, and " + c.Name + " is required", requiredFix(c)})
}

// stray replaces the rejects of rows in which no required cell is filled by one
// each: such a row is no building with six faults, but a title, a sum or a
// remark that somebody wrote between the rows.
func (d *decoder) stray() {
	open := map[int64]bool{} // by line, until the one Reject is written
	for i, n := range d.blank {
		if int(n) == numRequired {
			open[d.rows[i].Line] = true
		}
	}
	if len(open) == 0 {
		return
	}
	var kept []Reject
	for _, r := range d.found {
		switch todo, isStray := open[r.Line]; {
		case !isStray:
			kept = append(kept, r)
		case todo:
			open[r.Line] = false
			kept = append(kept, Reject{File: r.File, Line: r.Line, Reason: "none of the required columns is filled: this seems to be a title, a sum or a remark and not a building",
				Fix: "delete the line, or fill the required columns if it is a building"})
		}
	}
	d.found = kept
}

// trim cuts space, including the non-breaking kind, from both ends.
func trim(s string) string {
	if s == "" || s[0] > ' ' && s[0] < 0x80 && s[len(s)-1] > ' ' && s[len(s)-1] < 0x80 {
		return s
	}
	return strings.TrimSpace(s)
}

func (d *decoder) id(b *Building, s string) problem { return name(s, &b.ID) }

// name keeps the key of a row or a home.
func name(s string, to *string) problem {
	switch {
	case len(s) > 256:
		return problem{"the id is longer than 256 bytes", "check the quotes around here, or give a shorter id"}
	case strings.ContainsRune(s, utf8.RuneError) || !utf8.ValidString(s):
		return problem{"the id holds a character that an earlier conversion destroyed", "export the file again in the right encoding"}
	case strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }):
		return problem{"the id holds a line end or a control character", "remove it, or check the quotes around here"}
	}
	*to = s
	return problem{}
}

// damagedText finds what only a Parquet file can bring here: CSV text was
// checked while reading.
func damagedText(s string) problem {
	if !utf8.ValidString(s) || strings.IndexByte(s, 0) >= 0 {
		return problem{"the text is not valid UTF-8 or holds a NUL byte", "export the file again"}
	}
	return problem{}
}

func (d *decoder) term(c *Column, v *vocabulary[string], field func(*Building) *string) func(*Building, string) problem {
	var last, lastID string
	return func(b *Building, s string) problem {
		if v == nil {
			*field(b) = s
			return damagedText(s)
		}
		if s != last {
			id, ok := v.find(s)
			if !ok {
				return v.unknown(s, c)
			}
			last, lastID = s, id
		}
		*field(b) = lastID
		return problem{}
	}
}

func (d *decoder) level(c *Column) func(*Building, string) problem {
	v := d.b.rules.cats[c.slot]
	return func(b *Building, s string) problem {
		level, ok := v.find(s)
		if !ok {
			return v.unknown(s, c)
		}
		b.Cat[c.slot] = level
		return problem{}
	}
}

func (d *decoder) number(col *bound, c *Column) func(*Building, string) problem {
	return func(b *Building, s string) problem {
		v, p := parseNumber(blanks.Replace(s), c, col.unit, d.b.delim)
		if p.bad() {
			if c.acceptsUnknown() && fold(s) == "unknown" {
				return problem{}
			}
			return p
		}
		b.Num[c.slot] = v
		return problem{}
	}
}

// floats judges a column that holds numbers already.
func (d *decoder) floats(col *bound, c *Column, value func(int) float64, nulls bool, null func(int) bool) {
	for i := range d.rows {
		if nulls && null(i) {
			if c.Required {
				d.blankCell(i, col, c, "")
			}
			continue
		}
		v, p := inRange(value(i), "", c, col.unit)
		if p.bad() {
			d.reject(i, col, formatFloat(value(i), 64), p)
			continue
		}
		d.rows[i].Num[c.slot] = v
	}
}

// ride carries the cells of unknown columns along, untouched.
func (d *decoder) ride() {
	lay := d.b.layout
	n := lay.numExtra
	if n == 0 {
		return
	}
	slab := make([]string, n*len(d.rows))
	for i := range d.rows {
		d.rows[i].Extra = slab[i*n : (i+1)*n : (i+1)*n]
	}
	for k := range lay.extras {
		col := &lay.extras[k]
		text := cellsOf(d.b.rec.Column(col.arrow))
		for i := range d.rows {
			d.rows[i].Extra[col.extra] = text(i)
		}
	}
}
