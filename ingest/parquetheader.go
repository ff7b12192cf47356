package ingest

import (
	"errors"
	"fmt"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
)

// bind matches the columns of the file with the catalogue.
func (p *parquetFile) bind() *Reject {
	var headers []string
	var fields []*pqarrow.SchemaField
	var index []int
	for i := range p.arrow.Manifest.Fields {
		fd := &p.arrow.Manifest.Fields[i]
		if !fd.IsLeaf() || !fitsCell(fd.Field.Type) {
			p.src.note(fmt.Sprintf("%s: column %q of type %s does not fit in a cell and is left out", p.name, fd.Field.Name, fd.Field.Type))
			continue
		}
		headers, fields, index = append(headers, fd.Field.Name), append(fields, fd), append(index, i)
	}
	lay, problems, notes := p.src.headers.bind(headers, p.src.place)
	if len(problems) > 0 {
		return joinTrouble(p.name, problems)
	}
	for _, n := range notes {
		p.src.note(p.name + ": " + n)
	}
	p.layout = lay
	var kept []arrow.Field
	for _, src := range lay.read {
		kept = append(kept, *fields[src].Field)
		p.fields = append(p.fields, index[src])
		p.leaves = append(p.leaves, fields[src].ColIndex)
	}
	p.schema = arrow.NewSchema(kept, nil)
	var rows int64
	for g := range p.rdr.NumRowGroups() {
		n := p.rdr.MetaData().RowGroups[g].GetNumRows()
		if n < 0 {
			return p.whole(0, errors.New("the footer is damaged"))
		}
		rows += n
	}
	if rows == 0 {
		return &Reject{File: p.name, Reason: "the file has columns but no rows", Fix: "add the rows, or leave the file out", Whole: true}
	}
	return nil
}

// fitsCell says whether cellsOf can read a type.
func fitsCell(t arrow.DataType) bool {
	switch t.ID() {
	case arrow.STRING, arrow.LARGE_STRING, arrow.BINARY, arrow.FIXED_SIZE_BINARY, arrow.BOOL,
		arrow.INT8, arrow.INT16, arrow.INT32, arrow.INT64, arrow.UINT8, arrow.UINT16, arrow.UINT32, arrow.UINT64,
		arrow.FLOAT32, arrow.FLOAT64, arrow.DECIMAL128, arrow.DECIMAL256, arrow.DATE32, arrow.DATE64,
		arrow.TIME32, arrow.TIME64, arrow.TIMESTAMP, arrow.NULL:
		return true
	}
	return false
}
