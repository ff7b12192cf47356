package ingest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
)

// batchBytes ends a batch early when its cells are long, so that BatchRows
// times MaxRecord is never held at once.
const batchBytes = 8 << 20

// textColumn gathers the cells of one column in Arrow's own layout.
type textColumn struct {
	src     int
	offsets []int32
	data    []byte
}

func newTextColumn(src int) *textColumn { return &textColumn{src: src, offsets: []int32{0}} }

func (t *textColumn) end() { t.offsets = append(t.offsets, int32(len(t.data))) }

// take hands the gathered cells over as an array and starts anew.
func (t *textColumn) take() arrow.Array {
	n := len(t.offsets) - 1
	d := array.NewData(arrow.BinaryTypes.String, n, []*memory.Buffer{
		nil, memory.NewBufferBytes(arrow.Int32Traits.CastToBytes(t.offsets)), memory.NewBufferBytes(t.data),
	}, nil, 0, 0)
	defer d.Release()
	t.offsets = append(make([]int32, 0, cap(t.offsets)), 0)
	t.data = make([]byte, 0, len(t.data)+len(t.data)/8)
	return array.NewStringData(d)
}

// next reads the next batch, or returns io.EOF.
func (f *csvFile) next(ctx context.Context) (*Batch, error) {
	if f.done {
		return nil, io.EOF
	}
	var lines []int64
	size := 0
	for len(lines) < f.src.opt.BatchRows && size < batchBytes && len(f.rejects) < f.src.opt.BatchRows {
		err := f.scan.next(ctx)
		switch {
		case err == nil:
			if f.row() {
				lines = append(lines, f.scan.at)
				size += len(f.scan.rec)
			}
		case err == io.EOF:
			f.done = true
			if !f.any && len(lines) == 0 && len(f.rejects) == 0 {
				f.rejects = append(f.rejects, *f.whole(0, "the file has a header but no rows", "add the rows, or leave the file out"))
			}
		case errors.Is(err, errTooLong), errors.Is(err, errUnclosed), errors.Is(err, errMalformed):
			f.rejectRecord(err)
		case ctx.Err() != nil:
			return nil, ctx.Err()
		default:
			f.done = true
			f.rejects = append(f.rejects, *f.broken(err))
		}
		if f.done {
			break
		}
	}
	if len(lines) == 0 && len(f.rejects) == 0 {
		return nil, io.EOF
	}
	b := &Batch{file: f.file, name: f.name, lines: lines, layout: f.layout, rules: f.src.rules, delim: f.scan.delim, rejects: f.rejects}
	f.rejects, f.any = nil, true
	if len(lines) > 0 {
		fields := make([]arrow.Field, len(f.cols))
		arrays := make([]arrow.Array, len(f.cols))
		for i, c := range f.cols {
			fields[i] = arrow.Field{Name: f.headers[c.src], Type: arrow.BinaryTypes.String}
			arrays[i] = c.take()
			defer arrays[i].Release()
		}
		b.rec = array.NewRecord(arrow.NewSchema(fields, nil), arrays, int64(len(lines)))
	}
	return b, nil
}

// row moves the current record into the columns. It reports false when the
// record is blank or was rejected.
func (f *csvFile) row() bool {
	s := f.scan
	cells := s.cells
	for len(cells) > f.layout.width && blank(s.rec[cells[len(cells)-1].from:cells[len(cells)-1].to]) {
		cells = cells[:len(cells)-1]
	}
	if len(cells) != f.layout.width {
		if allBlank(s.rec, cells) {
			return false
		}
		f.rejectRagged(len(cells))
		return false
	}
	if id := cells[f.layout.idSrc]; blank(s.rec[id.from:id.to]) && allBlank(s.rec, cells) {
		return false
	}
	if s.lines > 1 {
		if i := f.runaway(cells); i >= 0 {
			f.rejectRunaway(i)
			return false
		}
	}
	if s.at <= s.suspect {
		for i, c := range cells {
			if !c.quoted && bytes.IndexByte(s.rec[c.from:c.to], '"') >= 0 {
				f.reject(i, "the cell holds a single quote, left over from the broken record above", "repair the quotes of the record above and of this one")
				return false
			}
		}
	}
	if i := bytes.IndexByte(s.rec, 0); i >= 0 {
		f.reject(f.cellAt(i), "the cell holds a NUL byte", "export the file again; NUL bytes are a sign of damage or of a wrong encoding")
		return false
	}
	if !utf8.Valid(s.rec) {
		return f.latinRow(cells)
	}
	for _, t := range f.cols {
		if c := cells[t.src]; c.doubled {
			t.data = unquote(t.data, s.rec, c)
		} else {
			t.data = append(t.data, s.rec[c.from:c.to]...)
		}
		t.end()
	}
	return true
}

// latinRow is row for a record that is not valid UTF-8.
func (f *csvFile) latinRow(cells []cell) bool {
	s := f.scan
	if f.strict {
		bad := 0
		for i := range cells {
			if !utf8.Valid(s.rec[cells[i].from:cells[i].to]) {
				bad = i
				break
			}
		}
		f.reject(bad, "the cell is not valid UTF-8, as the file's byte order mark promises", "export the file again as UTF-8")
		return false
	}
	decoded := make([][]byte, len(f.cols))
	for i, t := range f.cols {
		var err error
		f.scratch = unquote(f.scratch[:0], s.rec, cells[t.src])
		if decoded[i], err = windows1252(nil, f.scratch); err != nil {
			f.reject(t.src, fmt.Sprintf("the cell cannot be read: %v", err), "export the file again as UTF-8")
			return false
		}
	}
	if !f.noted {
		f.noted = true
		f.src.note(fmt.Sprintf("%s: line %d is not valid UTF-8; it and others like it are read as Windows-1252", f.name, s.at))
	}
	for i, t := range f.cols {
		t.data = append(t.data, decoded[i]...)
		t.end()
	}
	return true
}

func allBlank(rec []byte, cells []cell) bool {
	for _, c := range cells {
		if !blank(rec[c.from:c.to]) {
			return false
		}
	}
	return true
}
