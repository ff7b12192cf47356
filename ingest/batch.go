package ingest

import (
	"cmp"
	"io"
	"math"
	"slices"
)

// Batch is a run of rows of one file as columns of text, not yet judged, with the
// rejects that reading it brought up, or rejects alone.
type Batch struct {
	file    int32
	name    string
	columns []column // in the order of layout.read; none when there are no rows
	lines   []int64  // line of each row
	layout  *layout
	rules   *rules
	delim   byte
	rejects []Reject // in order of Line; a Whole one comes last
}

// Rows returns the number of rows that Decode will judge.
func (b *Batch) Rows() int { return len(b.lines) }

// Decode judges every row. It has no side effect outside the batch, so batches may
// be decoded at the same time on any goroutines; one batch only once. Buildings and
// rejects come in file order. Strings of a Building may share memory with the other
// rows of their batch.
func (b *Batch) Decode() ([]Building, []Reject) {
	if len(b.lines) == 0 {
		return nil, b.rejects
	}
	n := b.Rows()
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
	if len(d.found) == 0 {
		return d.rows, b.rejects
	}
	d.stray()
	good := d.rows[:0]
	for i := range d.rows {
		if !d.bad[i] {
			good = append(good, d.rows[i])
		}
	}
	clear(d.rows[len(good):])
	// Columns were judged one after the other; users read row by row.
	rejects := append(slices.Clone(b.rejects), d.found...)
	slices.SortStableFunc(rejects, func(x, y Reject) int { return cmp.Compare(x.Line, y.Line) })
	return good, rejects
}

// column is the text of all cells of a column, one behind the other.
type column struct {
	text string
	ends []int32 // of each cell, behind a 0
}

// cell returns the text of a row.
func (c column) cell(row int) string { return c.text[c.ends[row]:c.ends[row+1]] }

// textColumn gathers the cells of one column.
type textColumn struct {
	name string
	src  int // position in the file
	ends []int32
	data []byte
}

func newTextColumn(name string, src int) *textColumn {
	return &textColumn{name: name, src: src, ends: []int32{0}}
}

// end closes the cell whose text was appended to data.
func (t *textColumn) end() { t.ends = append(t.ends, int32(len(t.data))) }

// last is the cell that was closed last.
func (t *textColumn) last() []byte { return t.data[t.ends[len(t.ends)-2]:] }

// drop makes the cell that was closed last an empty one.
func (t *textColumn) drop() {
	t.cut(len(t.ends) - 2)
	t.end()
}

// cut drops all but the first n cells, and a cell that is not closed.
func (t *textColumn) cut(n int) {
	t.ends = t.ends[:n+1]
	t.data = t.data[:t.ends[n]]
}

// take hands the gathered cells over and starts anew.
func (t *textColumn) take() column {
	c := column{string(t.data), slices.Clone(t.ends)}
	t.cut(0)
	return c
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
	cells []*textColumn
	rows  int // most in a batch
	size  int
}

func (s *Source) gather(file int32, lay *layout, cells []*textColumn) *gathering {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, b := range lay.known {
		if name := catalogue[b.col].Name; !slices.Contains(s.from[name], b.header) {
			s.from[name] = append(s.from[name], b.header)
		}
	}
	return &gathering{Batch: Batch{file: file, name: s.files[file], layout: lay, rules: s.rules}, cells: cells, rows: s.opt.BatchRows}
}

func (g *gathering) full() bool {
	return len(g.lines) >= g.rows || len(g.rejects) >= g.rows || g.size >= batchBytes
}

func (g *gathering) empty() bool { return len(g.lines) == 0 && len(g.rejects) == 0 }

// keep adds the row whose cells stand in the columns.
func (g *gathering) keep(line int64, size int) {
	g.lines = append(g.lines, line)
	g.size += size + rowBytes + cellBytes*g.layout.numExtra
}

// undo drops the cells of a row that is not kept.
func (g *gathering) undo() {
	for _, t := range g.cells {
		t.cut(len(g.lines))
	}
}

// leaveOut rejects a row, whose cells may stand in the columns already.
func (g *gathering) leaveOut(line int64, column, value, known, reason, fix string) {
	g.undo()
	g.rejects = append(g.rejects, Reject{File: g.name, Line: line, Column: column, Value: shorten(value), Known: shorten(known), Reason: reason, Fix: fix})
}

// seal makes the batch, or returns io.EOF if it is empty.
func (g *gathering) seal(delim byte) (*Batch, error) {
	if g.empty() {
		return nil, io.EOF
	}
	b := g.Batch
	b.delim = delim
	if len(b.lines) > 0 {
		for _, t := range g.cells {
			b.columns = append(b.columns, t.take())
		}
	}
	return &b, nil
}
