package compare_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
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
			case []string:
				types[k] = arrow.ListOf(arrow.BinaryTypes.String)
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
			case []string:
				list := builder.Field(i).(*array.ListBuilder)
				list.Append(true)
				for _, item := range v {
					list.ValueBuilder().(*array.StringBuilder).Append(item)
				}
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

// result is the JSON form of a comparison.
type result map[string]any

func compared(t testing.TB, old, new string) result {
	t.Helper()
	var out result
	if err := json.Unmarshal([]byte(form(t, old, new, "json", 0)), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// form is a comparison as printed.
func form(t testing.TB, old, new, format string, top int) string {
	t.Helper()
	r, err := compare.Folders(t.Context(), old, new)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := r.Print(&b, format, top, 0); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// rows are those of a table, cells joined: a pair as old>new, or one value where
// both are alike.
func (r result) rows(t testing.TB, name string, columns ...string) (out []string) {
	t.Helper()
	list, ok := r[name].([]any)
	if !ok {
		t.Fatalf("no table %s", name)
	}
	for _, one := range list {
		var cells []string
		for _, c := range columns {
			v, ok := one.(map[string]any)[c]
			if !ok {
				t.Fatalf("table %s has no column %s", name, c)
			}
			if p, ok := v.(map[string]any); ok {
				if v = fmt.Sprint(p["old"], ">", p["new"]); fmt.Sprint(p["old"]) == fmt.Sprint(p["new"]) {
					v = p["new"]
				}
			}
			cells = append(cells, strings.ReplaceAll(fmt.Sprint(v), "<nil>", ""))
		}
		out = append(out, strings.Join(cells, "|"))
	}
	return out
}

func (r result) summary() string {
	var out []string
	for _, s := range r["summary"].([]any) {
		out = append(out, s.(string))
	}
	return strings.Join(out, " ")
}

// put writes a file into a folder.
func put(t testing.TB, dir, name, body string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(body), 0o644); err != nil {
		t.Fatal(err)
	}
}

func equal(t testing.TB, what string, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\n%q, want\n%q", what, got, want)
	}
}
