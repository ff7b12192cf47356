package ingest

import (
	"bytes"
	"cmp"
	"math"
	"slices"
	"strings"
)

// Batch is a run of rows of one file as text, not yet judged, with the rejects
// that reading it brought up, or rejects alone.
type Batch struct {
	src     *Source // for what never changes in it
	file    int32
	text    string  // of all cells, row by row; empty where a column is withheld
	ends    []int32 // of each cell in text, behind a 0
	lines   []int64 // line of each row
	layout  *layout
	rejects []Reject // in order of Line; a Whole one comes last
}

// Decode judges every row. It has no side effect outside the batch, so batches may
// be decoded at the same time on any goroutines; one batch only once. Buildings and
// rejects come in file order. Strings of a Building may share memory with the other
// rows of their batch.
func (b *Batch) Decode() ([]Building, []Reject) {
	if len(b.lines) == 0 {
		return nil, b.rejects
	}
	n := len(b.lines)
	d := &decoder{b: b, rows: make([]Building, n), bad: make([]bool, n), filled: make([]bool, n)}
	for i := range d.rows {
		r := &d.rows[i]
		r.File, r.Line = b.file, b.lines[i]
		for k := range r.Num {
			r.Num[k] = math.NaN()
		}
	}
	for i := range b.layout.known {
		d.column(&b.layout.known[i])
	}
	d.ride()
	rejects := slices.Concat(b.rejects, d.rejects())
	good := d.rows[:0]
	for i := range d.rows {
		if !d.bad[i] {
			good = append(good, d.rows[i])
		}
	}
	clear(d.rows[len(good):])
	// Columns were judged one after the other; users read row by row.
	slices.SortStableFunc(rejects, func(x, y Reject) int { return cmp.Compare(x.Line, y.Line) })
	return good, rejects
}

// cell returns the text of a cell by its column in the file.
func (b *Batch) cell(row, at int) string {
	i := row*len(b.layout.names) + at
	return b.text[b.ends[i]:b.ends[i+1]]
}

// batchBytes ends a batch early when its rows are long or have many columns of
// the user's own: memory is bounded by bytes, not by rows.
const batchBytes = 8 << 20

// rowBytes is about what a Building and its place in a batch take beside the
// text of its cells; every cell that rides through takes cellBytes more.
const (
	rowBytes  = 512
	cellBytes = 20
)

// gathering is a batch that rows are still added to.
type gathering struct {
	Batch
	data []byte // becomes text
	size int
}

func (s *Source) gather() *gathering {
	return &gathering{Batch: Batch{src: s, file: int32(s.file), layout: s.lay, ends: append(s.ends[:0], 0)}, data: s.data[:0]}
}

// end closes the cell whose text was appended to data.
func (g *gathering) end() { g.ends = append(g.ends, int32(len(g.data))) }

// open is a cell of the row that is being added.
func (g *gathering) open(at int) []byte {
	i := len(g.lines)*len(g.layout.names) + at
	return g.data[g.ends[i]:g.ends[i+1]]
}

// id is what the row that is being added is known by.
func (g *gathering) id() string { return strings.TrimSpace(string(g.open(g.layout.id[0].src))) }

// keep adds the row whose cells were closed last, or leaves it out if one is no
// text: not says what such a cell is not.
func (g *gathering) keep(line int64, size int, not string) {
	for at, name := range g.layout.names {
		if cell := g.open(at); !wholesome(cell) {
			reason := "the cell is " + not
			if bytes.IndexByte(cell, 0) >= 0 {
				reason = "the cell holds a NUL byte, a sign of damage or of another encoding than UTF-8"
			}
			g.leaveOut(line, name, string(cell), g.id(), reason, "export the file again as UTF-8")
			return
		}
	}
	g.lines = append(g.lines, line)
	g.size += size + rowBytes + cellBytes*g.layout.numExtra
}

// undo drops the cells of a row that is not kept.
func (g *gathering) undo() {
	n := len(g.lines) * len(g.layout.names)
	g.ends, g.data = g.ends[:n+1], g.data[:g.ends[n]]
}

// leaveOut rejects a row, of which cells may be closed already.
func (g *gathering) leaveOut(line int64, column, value, known, reason, fix string) {
	g.undo()
	g.rejects = append(g.rejects, Reject{File: g.src.files[g.file], Line: line, Column: column, Value: shorten(value), Known: shorten(known), Reason: reason, Fix: fix})
}

func (g *gathering) empty() bool { return len(g.lines) == 0 && len(g.rejects) == 0 }

func (g *gathering) seal() *Batch {
	g.src.data, g.src.ends = g.data, g.ends
	b := g.Batch
	b.text, b.ends = string(g.data), slices.Clone(g.ends)
	return &b
}
