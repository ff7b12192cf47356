// Command demo writes the demonstration inventory, testdata/demo.csv and its
// copy testdata/demo.parquet. Run it from the root of the module:
//
//	go run ./testdata/demo
//
// Everything in it is invented: the island of Hexmark, its settlements and
// streets, the housing association that keeps the list, and every home on it.
// The coordinates lie in the open ocean. The spread of walls, finishes and
// conditions is what such a list may look like (common practice, no source);
// no number here is a survey result and none may be used as one.
//
// The draw is seeded and draws one number at a time from PCG, so that each run
// writes the same bytes. The file also carries the faults that kept-by-hand
// lists have, see flaws.go.
package main

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
)

func main() {
	out := flag.String("out", "testdata", "folder to write demo.csv and demo.parquet to")
	flag.Parse()
	if err := run(*out); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

func run(folder string) error {
	lines := inventory()
	for name, write := range map[string]func([]line) ([]byte, error){"demo.csv": csvBytes, "demo.parquet": parquetBytes} {
		data, err := write(lines)
		if err == nil {
			err = os.WriteFile(filepath.Join(folder, name), data, 0o644)
		}
		if err != nil {
			return fmt.Errorf("writing %s: %w", name, err)
		}
	}
	return nil
}

// csvBytes is the inventory as CSV: UTF-8, comma, LF, and the empty line that
// spreadsheets leave behind.
func csvBytes(lines []line) ([]byte, error) {
	records := make([][]string, 1, len(lines)+1)
	for _, c := range columns {
		records[0] = append(records[0], c.name)
	}
	for _, l := range lines {
		records = append(records, l.cells)
	}
	var b bytes.Buffer
	err := csv.NewWriter(&b).WriteAll(records)
	b.WriteByte('\n')
	return b.Bytes(), err
}

// parquetBytes is the same inventory with types. Ragged lines are left out,
// blank cells and numbers that do not parse are null.
func parquetBytes(lines []line) ([]byte, error) {
	fields := make([]arrow.Field, len(columns))
	for i, c := range columns {
		fields[i] = arrow.Field{Name: c.name, Type: arrow.BinaryTypes.String, Nullable: true}
		if c.numeric {
			fields[i].Type = arrow.PrimitiveTypes.Float64
		}
	}
	schema := arrow.NewSchema(fields, nil)
	rows := array.NewRecordBuilder(memory.DefaultAllocator, schema)
	for _, l := range lines {
		if l.ragged() {
			continue
		}
		for i, cell := range l.cells {
			if cell == "" {
				rows.Field(i).AppendNull()
			} else {
				_ = rows.Field(i).AppendValueFromString(cell) // null where it does not parse
			}
		}
	}
	var b bytes.Buffer
	w, err := pqarrow.NewFileWriter(schema, &b, parquet.NewWriterProperties(parquet.WithCompression(compress.Codecs.Snappy)), pqarrow.DefaultWriterProps())
	if err != nil {
		return nil, err
	}
	if err := w.Write(rows.NewRecord()); err != nil {
		return nil, err
	}
	err = w.Close()
	return b.Bytes(), err
}
