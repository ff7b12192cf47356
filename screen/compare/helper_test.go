package compare_test

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"

	"wallsift/screen/compare"
	"wallsift/screen/report"
)

// row is a row of a ranking. Values are string, int or float64; a key that is
// absent is a null, and no column where no row has it.
type row map[string]any

// with returns a copy with other values.
func (r row) with(kv ...any) row {
	out := maps.Clone(r)
	for i := 0; i < len(kv); i += 2 {
		out[kv[i].(string)] = kv[i+1]
	}
	return out
}

// judged is a row as a run would write it.
func judged(id, strategy string, rank int, verdict string, share float64) row {
	return row{
		"building_id": id, "strategy": strategy, "rank_in_building": rank, "verdict": verdict, "governing": "frost", "utilisation": share, "tier": "steady",
		"stone_type": "granite_rubble", "wall_thickness_mm": 500.0, "exposure": "severe", "last_survey": "2020-01-01", "tenancy": "let",
	}
}

// manifest is what run.json says, as far as it matters here.
type manifest map[string]any

func plain() manifest {
	return manifest{"version": "1", "tier": "steady", "seed": 1, "configuration_sha256": "aa", "inventories": []map[string]string{{"name": "a.csv", "sha256": "11"}}}
}

func (m manifest) with(key string, v any) manifest {
	out := maps.Clone(m)
	out[key] = v
	return out
}

// output writes the output folder of a run.
func output(t testing.TB, m manifest, rows ...row) string {
	t.Helper()
	dir := t.TempDir()
	b, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, report.ManifestJSON), b, 0o644); err != nil {
		t.Fatal(err)
	}
	types := map[string]arrow.DataType{}
	for _, r := range rows {
		for k, v := range r {
			switch v.(type) {
			case string:
				types[k] = arrow.BinaryTypes.String
			case int:
				types[k] = arrow.PrimitiveTypes.Int64
			case float64:
				types[k] = arrow.PrimitiveTypes.Float64
			}
		}
	}
	var fields []arrow.Field
	for _, k := range slices.Sorted(maps.Keys(types)) {
		fields = append(fields, arrow.Field{Name: k, Type: types[k], Nullable: true})
	}
	schema := arrow.NewSchema(fields, nil)
	f, err := os.Create(filepath.Join(dir, report.RankingParquet))
	if err != nil {
		t.Fatal(err)
	}
	w, err := pqarrow.NewFileWriter(schema, f, parquet.NewWriterProperties(), pqarrow.DefaultWriterProps())
	if err != nil {
		t.Fatal(err)
	}
	builder := array.NewRecordBuilder(memory.DefaultAllocator, schema)
	for _, r := range rows {
		for i, field := range fields {
			switch v := r[field.Name].(type) {
			case nil:
				builder.Field(i).AppendNull()
			case string:
				builder.Field(i).(*array.StringBuilder).Append(v)
			case int:
				builder.Field(i).(*array.Int64Builder).Append(int64(v))
			case float64:
				builder.Field(i).(*array.Float64Builder).Append(v)
			}
		}
	}
	if err := w.Write(builder.NewRecord()); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}

// tables compares two folders.
func tables(t testing.TB, old, new string, top int) map[string]report.Table {
	t.Helper()
	r, err := compare.Folders(t.Context(), old, new, top)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]report.Table{}
	for _, table := range r.Tables() {
		out[table.Name] = table
		for _, row := range table.Rows {
			if len(row) != len(table.Columns) {
				t.Errorf("table %s: %d cells under %d columns", table.Name, len(row), len(table.Columns))
			}
		}
	}
	return out
}

// cell returns a cell of the first row of a building and strategy, and whether
// there is one.
func cell(t testing.TB, table report.Table, id, strategy, column string) (string, bool) {
	t.Helper()
	at := slices.Index(table.Columns, column)
	if at < 0 {
		t.Fatalf("no column %s in %v", column, table.Columns)
	}
	for _, r := range table.Rows {
		if r[0] == id && r[1] == strategy {
			return r[at], true
		}
	}
	return "", false
}
