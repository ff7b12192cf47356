package report_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet/file"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
	"github.com/google/go-cmp/cmp"

	"wallsift/config"
	"wallsift/screen/report"
)

var update = flag.Bool("update", false, "write testdata/schema.txt, once report.Schema was raised")

// keysOf lists the keys of a type as JSON has them, each with its kind.
func keysOf(t reflect.Type, at string) (out []string) {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			name, option, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
			if option != "" {
				option = ", may be left out"
			}
			if list := keysOf(t.Field(i).Type, strings.TrimPrefix(at+"."+name, ".")); len(list) > 0 {
				list[0] += option
				out = append(out, list...)
			}
		}
		return out
	case reflect.Slice:
		return keysOf(t.Elem(), at+"[]")
	case reflect.Map:
		return keysOf(t.Elem(), at+".NAME")
	}
	kind := map[reflect.Kind]string{reflect.String: "string", reflect.Int: "number", reflect.Float64: "number", reflect.Bool: "boolean", reflect.Interface: "any"}[t.Kind()]
	return []string{fmt.Sprintf("run.json\t%s\t%s", at, kind)}
}

// The columns of ranking.parquet with their types, and the keys of run.json, are
// those written down for the number of the form: who changes one raises
// report.Schema, and writes the list anew with -update, which refuses to while the
// number is the old one.
func TestFormChangesWithItsNumberOnly(t *testing.T) {
	l, err := config.Load(config.Inputs{Flags: map[string]any{"run.tier": config.TierSteady, "energy.price_per_kwh": 0.2, "energy.carbon_kg_per_kwh": 0.1}})
	if err != nil {
		t.Fatal(err)
	}
	list, dir := filepath.Join(t.TempDir(), "list.csv"), t.TempDir()
	if err := os.WriteFile(list, []byte("building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\nA,500,brick_common,4c,moderate,none\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	e, run := screenedBy(t, l, list)
	if err := report.WriteRanking(dir, e, run); err != nil {
		t.Fatal(err)
	}
	f, err := file.OpenParquetFile(filepath.Join(dir, report.RankingParquet), false)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if v := f.MetaData().KeyValueMetadata().FindValue(report.SchemaKey); v == nil || *v != strconv.Itoa(report.Schema) {
		t.Errorf("the metadata of %s say %v for %s, expected %d", report.RankingParquet, v, report.SchemaKey, report.Schema)
	}
	r, err := pqarrow.NewFileReader(f, pqarrow.ArrowReadProperties{}, memory.DefaultAllocator)
	if err != nil {
		t.Fatal(err)
	}
	schema, err := r.Schema()
	if err != nil {
		t.Fatal(err)
	}
	lines := []string{fmt.Sprintf("schema\t%d", report.Schema)}
	for _, c := range schema.Fields() {
		lines = append(lines, fmt.Sprintf("ranking.parquet\t%s\t%s", c.Name, c.Type))
	}
	got := strings.Join(append(lines, keysOf(reflect.TypeFor[report.Manifest](), "")...), "\n") + "\n"
	const golden = "testdata/schema.txt"
	b, err := os.ReadFile(golden)
	if err != nil && !*update {
		t.Fatal(err)
	}
	want := string(b)
	if *update && got != want {
		if strings.HasPrefix(want, lines[0]+"\n") {
			t.Fatalf("the form changed: raise report.Schema above %d first", report.Schema)
		}
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		want = got
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("the form changed; raise report.Schema and run with -update: %s", d)
	}
}
