package report_test

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet/file"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/places/geoparquet"
)

// ranked screens an inventory and returns both ranking files as tables.
func ranked(t *testing.T, inventory string) (csvRows [][]string, table arrow.Table) {
	t.Helper()
	e, run := screened(t, inventory)
	dir := t.TempDir()
	if err := report.WriteRanking(dir, e, run); err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(filepath.Join(dir, report.RankingCSV))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if csvRows, err = csv.NewReader(f).ReadAll(); err != nil {
		t.Fatal(err)
	}
	pf, err := file.OpenParquetFile(filepath.Join(dir, report.RankingParquet), false)
	if err != nil {
		t.Fatal(err)
	}
	defer pf.Close()
	r, err := pqarrow.NewFileReader(pf, pqarrow.ArrowReadProperties{}, memory.DefaultAllocator)
	if err != nil {
		t.Fatal(err)
	}
	if table, err = r.ReadTable(context.Background()); err != nil {
		t.Fatal(err)
	}
	// The geometry column is Parquet's alone; geometry_test.go looks at it.
	last := int(table.NumCols()) - 1
	if name := table.Column(last).Name(); name != geoparquet.Column {
		t.Fatalf("the last column is %s", name)
	}
	var cols []arrow.Column
	for i := range last {
		cols = append(cols, *table.Column(i))
	}
	return csvRows, array.NewTable(arrow.NewSchema(table.Schema().Fields()[:last], nil), cols, table.NumRows())
}

func screened(t testing.TB, inventory string) (*screen.Engine, *screen.Run) {
	t.Helper()
	l, err := config.Load(config.Inputs{Flags: map[string]any{"run.tier": config.TierSteady}})
	if err != nil {
		t.Fatal(err)
	}
	return screenedBy(t, l, inventory)
}

// column gathers a column of a table: one value a row, nil for null.
func column(t *testing.T, table arrow.Table, i int) []any {
	t.Helper()
	var out []any
	for _, chunk := range table.Column(i).Data().Chunks() {
		for k := range chunk.Len() {
			switch a := chunk.(type) {
			case *array.String:
				out = append(out, a.Value(k))
			case *array.Int64:
				out = append(out, a.Value(k))
			case *array.Float64:
				out = append(out, a.Value(k))
			case *array.Date32:
				out = append(out, a.ValueStr(k))
			case *array.List:
				var items []string
				for from, to := a.ValueOffsets(k); from < to; from++ {
					items = append(items, a.ListValues().ValueStr(int(from)))
				}
				out = append(out, items)
			default:
				t.Fatalf("column %s is of type %v", table.Column(i).Name(), chunk.DataType())
			}
			if chunk.IsNull(k) {
				out[len(out)-1] = nil
			}
		}
	}
	return out
}

func TestRankingFilesHoldTheSame(t *testing.T) {
	rows, table := ranked(t, "../../testdata/demo.csv")
	if int64(len(rows)-1) != table.NumRows() || int64(len(rows[0])) != table.NumCols() || len(rows) < 384*7 {
		t.Fatalf("CSV %d × %d, Parquet %d × %d", len(rows)-1, len(rows[0]), table.NumRows(), table.NumCols())
	}
	for i, name := range rows[0] {
		if table.Column(i).Name() != name {
			t.Errorf("column %d: %s in CSV, %s in Parquet", i, name, table.Column(i).Name())
			continue
		}
		filled := false
		for k, v := range column(t, table, i) {
			cell := rows[k+1][i]
			same := false
			switch x := v.(type) {
			case nil:
				same = cell == ""
			case []string:
				same = slices.Equal(x, strings.FieldsFunc(strings.ReplaceAll(cell, "; ", ";"), func(r rune) bool { return r == ';' || r == ' ' && name != "not_judged" }))
			case string:
				same = cell == x || cell == "'"+x
			case int64:
				same = cell == strconv.FormatInt(x, 10)
			case float64:
				f, err := strconv.ParseFloat(cell, 64)
				// CSV has a fixed number of decimals: half a unit of the last one.
				half := 0.5 * math.Pow(10, -float64(decimals(cell)))
				same = err == nil && math.Abs(f-x) <= half*(1+1e-9)
			}
			filled = filled || cell != ""
			if !same {
				t.Fatalf("%s, row %d: %q in CSV, %v in Parquet", name, k+1, cell, v)
			}
		}
		if !filled && name != "a_w" {
			t.Logf("column %s is empty in the whole demo", name)
		}
	}
}

func decimals(cell string) int {
	if at := slices.Index([]byte(cell), '.'); at >= 0 {
		return len(cell) - at - 1
	}
	return 0
}

const odd = `building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,overall_rank,overall_rank_inventory,verdict,=danger,"say ""hi"""
A,500,brick_common,4c,moderate,none,Wendlemill,second,fine,=1+1,"a, b"
"B ""old""",610,granite_rubble,oceanic_wet,severe,joist_ends,,,,-12,"two
lines"
`

// Columns of the inventory whose names are taken keep their values under
// another name, and every name stands once.
func TestRideThroughColumnsKeepTheirValues(t *testing.T) {
	path := filepath.Join(t.TempDir(), "odd.csv")
	if err := os.WriteFile(path, []byte(odd), 0o600); err != nil {
		t.Fatal(err)
	}
	rows, table := ranked(t, path)
	seen := map[string]int{}
	for i, name := range rows[0] {
		if _, twice := seen[name]; twice {
			t.Errorf("column %s stands twice", name)
		}
		seen[name] = i
	}
	names := rows[0][len(rows[0])-5:]
	for _, rec := range rows[1:] {
		got := rec[len(rec)-5:]
		want := []string{"Wendlemill", "second", "fine", "'=1+1", "a, b"}
		if rec[seen["building_id"]] != "A" {
			want = []string{"", "", "", "-12", "two\nlines"}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%v: %q", names, got)
		}
	}
	// The tool's own place is a number still, and Parquet holds raw text.
	if _, err := strconv.Atoi(rows[1][seen["overall_rank"]]); err != nil {
		t.Errorf("place: %v", err)
	}
	if names[3] != "'=danger" || table.Column(int(table.NumCols())-2).Name() != "=danger" {
		t.Errorf("names %q; Parquet %q", names, table.Column(int(table.NumCols())-2).Name())
	}
}

func TestPlacesAndRanksCountFromOne(t *testing.T) {
	rows, _ := ranked(t, "../../testdata/demo.csv")
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	whole := func(rec []string, name string) int {
		n, err := strconv.Atoi(rec[at[name]])
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	within := map[string]map[int]bool{}
	place, inside := 0, 0
	last := ""
	for _, rec := range rows[1:] {
		if id := rec[at["building_id"]]; id != last {
			place, inside, last = place+1, 0, id
		}
		inside++
		if whole(rec, "overall_rank") != place || whole(rec, "rank_in_building") != inside {
			t.Fatalf("%s: place %d, rank %d; expected %d, %d", last, whole(rec, "overall_rank"), whole(rec, "rank_in_building"), place, inside)
		}
		s := rec[at["strategy"]]
		if within[s] == nil {
			within[s] = map[int]bool{}
		}
		within[s][whole(rec, "rank_in_strategy")] = true
	}
	for s, ranks := range within {
		for r := 1; r <= place; r++ {
			if !ranks[r] {
				t.Errorf("%s has no rank %d", s, r)
			}
		}
	}
}
