package ingest

import (
	"cmp"
	"slices"

	"github.com/apache/arrow/go/v17/arrow"
)

// Batch is a run of rows of one file as an Arrow record, not yet judged, with
// the rejects that reading it brought up. Batches are numbered from 0 in
// reading order; a Batch may hold rejects alone.
type Batch struct {
	Seq int64

	file    int32
	name    string
	rec     arrow.Record // nil when there are no rows
	lines   []int64      // line of each row; nil in Parquet
	first   int64        // row number of the first row in Parquet
	layout  *layout
	rules   *rules
	delim   byte
	rejects []Reject // in order of Line; a Whole one comes last
}

// Rows returns the number of rows that Decode will judge.
func (b *Batch) Rows() int {
	if b.rec == nil {
		return 0
	}
	return int(b.rec.NumRows())
}

// Record returns the Arrow record, nil if there is none: text columns for CSV,
// the file's own types for Parquet. It is valid until Decode or Release.
func (b *Batch) Record() arrow.Record { return b.rec }

// Headers returns, by canonical column name without unit, the header that each
// known column is read from, as it stands in the file. It is nil for a batch
// of rejects alone.
func (b *Batch) Headers() map[string]string {
	if b.layout == nil {
		return nil
	}
	out := map[string]string{}
	for _, k := range b.layout.known {
		out[catalogue[k.col].Name] = k.header
	}
	return out
}

// Release gives the record up without decoding it.
func (b *Batch) Release() {
	if b.rec != nil {
		b.rec.Release()
		b.rec = nil
	}
}

func (b *Batch) line(row int) int64 {
	if b.lines != nil {
		return b.lines[row]
	}
	return b.first + int64(row)
}

// Decode judges every row and releases the record. It has no side effect
// outside the batch, so batches may be decoded at the same time on any
// goroutines; one batch only once. Buildings and rejects come in file order.
// Strings of a Building may share memory with the other rows of their batch.
func (b *Batch) Decode() ([]Building, []Reject) {
	defer b.Release()
	rejects := b.rejects
	if b.rec == nil {
		return nil, rejects
	}
	d := newDecoder(b)
	for i := range b.layout.known {
		d.column(&b.layout.known[i])
	}
	d.ride()
	buildings := d.rows
	if len(d.found) > 0 {
		d.stray()
		good := buildings[:0]
		for i := range buildings {
			if !d.bad[i] {
				good = append(good, buildings[i])
			}
		}
		clear(buildings[len(good):])
		buildings = good
		// Columns were judged one after the other; users read row by row.
		slices.SortStableFunc(d.found, func(x, y Reject) int { return cmp.Compare(x.Line, y.Line) })
		rejects = mergeRejects(rejects, d.found)
	}
	return buildings, rejects
}

// mergeRejects merges two lists in order of line, keeping a Whole one last.
func mergeRejects(reading, judging []Reject) []Reject {
	out := make([]Reject, 0, len(reading)+len(judging))
	for len(reading) > 0 && len(judging) > 0 {
		if !reading[0].Whole && reading[0].Line <= judging[0].Line {
			out, reading = append(out, reading[0]), reading[1:]
		} else {
			out, judging = append(out, judging[0]), judging[1:]
		}
	}
	return append(append(out, reading...), judging...)
}
