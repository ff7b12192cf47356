// Package resultstest makes output folders for tests of what reads them. Only tests
// import it.
package resultstest

import (
	"encoding/json"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"

	"wallsift/screen/report"
)

// Row is a row of a ranking, or what run.json says. In a ranking values are string, []string, int or float64; a key that
// is absent is a null, and no column where no row has it.
type Row map[string]any

// With returns a copy with other values.
func (r Row) With(kv ...any) Row {
	out := maps.Clone(r)
	for i := 0; i < len(kv); i += 2 {
		out[kv[i].(string)] = kv[i+1]
	}
	return out
}

// Folder writes the output folder of a run: run.json and ranking.parquet.
func Folder(t testing.TB, manifest Row, rows ...Row) string {
	t.Helper()
	of := map[reflect.Type]arrow.DataType{
		reflect.TypeFor[string](): arrow.BinaryTypes.String, reflect.TypeFor[[]string](): arrow.ListOf(arrow.BinaryTypes.String),
		reflect.TypeFor[int](): arrow.PrimitiveTypes.Int64, reflect.TypeFor[float64](): arrow.PrimitiveTypes.Float64,
	}
	types := map[string]arrow.DataType{}
	for _, r := range rows {
		for k, v := range r {
			if v != nil {
				types[k] = of[reflect.TypeOf(v)]
			}
		}
	}
	var fields []arrow.Field
	for _, k := range slices.Sorted(maps.Keys(types)) {
		fields = append(fields, arrow.Field{Name: k, Type: types[k], Nullable: true})
	}
	dir := t.TempDir()
	said, err := json.Marshal(manifest)
	text, err2 := json.Marshal(rows)
	table, err3 := array.TableFromJSON(memory.DefaultAllocator, arrow.NewSchema(fields, nil), []string{string(text)})
	f, err4 := os.Create(filepath.Join(dir, report.RankingParquet))
	if err := errors.Join(err, err2, err3, err4, os.WriteFile(filepath.Join(dir, report.ManifestJSON), said, 0o644)); err != nil {
		t.Fatal(err)
	}
	if err := pqarrow.WriteTable(table, f, 1<<20, parquet.NewWriterProperties(), pqarrow.DefaultWriterProps()); err != nil {
		t.Fatal(err)
	}
	return dir
}
