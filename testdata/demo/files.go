package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
)

// csvBytes is the inventory as CSV: UTF-8, comma, LF, and the empty line that
// spreadsheets leave behind.
func csvBytes(lines []line) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.Write(columns); err != nil {
		return nil, fmt.Errorf("writing the CSV header: %w", err)
	}
	for _, l := range lines {
		if err := w.Write(l.cells); err != nil {
			return nil, fmt.Errorf("writing CSV: %w", err)
		}
	}
	w.Flush()
	if err := w.Error(); err != nil {
		return nil, fmt.Errorf("writing CSV: %w", err)
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}

// parquetBytes is the same inventory with types. Ragged lines are left out,
// blank cells and numbers that do not parse are null.
func parquetBytes(lines []line) ([]byte, error) {
	var fields []arrow.Field
	var cols []arrow.Array
	rows := 0
	for i, name := range columns {
		text, number := array.NewStringBuilder(memory.DefaultAllocator), array.NewFloat64Builder(memory.DefaultAllocator)
		rows = 0
		for _, l := range lines {
			if l.ragged() {
				continue
			}
			rows++
			v, err := strconv.ParseFloat(l.cells[i], 64)
			switch {
			case numeric[name] && err != nil:
				number.AppendNull()
			case numeric[name]:
				number.Append(v)
			case l.cells[i] == "":
				text.AppendNull()
			default:
				text.Append(l.cells[i])
			}
		}
		f, a := arrow.Field{Name: name, Type: arrow.BinaryTypes.String, Nullable: true}, arrow.Array(nil)
		if numeric[name] {
			f.Type, a = arrow.PrimitiveTypes.Float64, number.NewArray()
		} else {
			a = text.NewArray()
		}
		fields, cols = append(fields, f), append(cols, a)
	}
	schema := arrow.NewSchema(fields, nil)
	var b bytes.Buffer
	w, err := pqarrow.NewFileWriter(schema, &b, parquet.NewWriterProperties(parquet.WithCompression(compress.Codecs.Snappy)), pqarrow.DefaultWriterProps())
	if err != nil {
		return nil, fmt.Errorf("opening the Parquet writer: %w", err)
	}
	if err := w.Write(array.NewRecord(schema, cols, int64(rows))); err != nil {
		return nil, fmt.Errorf("writing Parquet: %w", err)
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("closing Parquet: %w", err)
	}
	return b.Bytes(), nil
}
