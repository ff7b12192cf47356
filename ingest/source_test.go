package ingest

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/iotest"
)

func TestOpenPatterns(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"b.csv", "a.CSV", "c.tsv", "d.txt", "e.parquet", "notes.md", ".hidden.csv", "x[1].csv"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.MkdirAll(filepath.Join(dir, "sub", "empty"), 0o755); err != nil {
		t.Fatal(err)
	}
	at := func(names ...string) (out []string) {
		for _, n := range names {
			out = append(out, filepath.Join(dir, n))
		}
		return out
	}
	for _, c := range []struct {
		name     string
		patterns []string
		want     []string
		err      string
	}{
		{"folder", at(""), at("a.CSV", "b.csv", "c.tsv", "d.txt", "e.parquet", "x[1].csv"), ""},
		{"glob", at("?.csv"), at("b.csv"), ""},
		{"order of patterns", at("c.tsv", "b.csv"), at("c.tsv", "b.csv"), ""},
		{"named twice", at("b.csv", "./b.csv", "?.csv"), at("b.csv"), ""},
		{"name that looks like a glob", at("x[1].csv"), at("x[1].csv"), ""},
		{"standard input", []string{"-"}, []string{"standard input"}, ""},
		{"nothing", nil, nil, "no inventory given"},
		{"no such file", at("z.csv"), nil, "no such file"},
		{"glob without match", at("z*.csv"), nil, "no such file"},
		{"malformed glob", at("[.csv"), nil, "malformed"},
		{"folder without inventories", at("sub"), nil, "holds no .csv"},
	} {
		t.Run(c.name, func(t *testing.T) {
			src, err := Open(c.patterns, Options{})
			if c.err != "" {
				if err == nil || !strings.Contains(err.Error(), c.err) {
					t.Fatalf("err = %v", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := src.Names().Files; !slices.Equal(got, c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

func TestOpenRefusesBadOptions(t *testing.T) {
	path := writeFile(t, "in.csv", "x")
	for _, c := range []struct {
		name string
		opt  Options
		err  string
	}{
		{"mapping to nothing known", Options{Columns: map[string][]string{"Wall": {"wall_thicknes_mm"}}}, "did you mean \"wall_thickness_m"},
		{"mapping without unit", Options{Columns: map[string][]string{"Wall": {"wall_thickness"}}}, "lacks a unit"},
		{"mapped twice", Options{Columns: map[string][]string{"Wall mm": {"wall_thickness_mm"}, "wall-mm": {"height_m"}}}, "mapped twice"},
		{"alias of no field", Options{Aliases: map[string]map[string]string{"stone_typ": {"x": "granite"}}}, "stone_type"},
		{"alias to no level", Options{Aliases: map[string]map[string]string{"exposure": {"x": "sever"}}}, "severe"},
		{"alias to no stone", Options{Stones: testOptions.Stones, Aliases: map[string]map[string]string{"stone_type": {"x": "granit"}}}, "granite"},
		{"alias of an id", Options{Aliases: map[string]map[string]string{"building_id": {"x": "y"}}}, "id"},
		{"delimiter", Options{Delimiter: '"'}, "single ASCII"},
		{"delimiter beyond ASCII", Options{Delimiter: '→'}, "single ASCII"},
	} {
		if _, err := Open([]string{path}, c.opt); err == nil || !strings.Contains(err.Error(), c.err) {
			t.Errorf("%s: err = %v", c.name, err)
		}
	}
}

func TestManyFilesAndExtraColumns(t *testing.T) {
	dir := t.TempDir()
	files := map[string]string{
		"1.csv": table(requiredHeader+",Ward,Ref,Ref", row("a", "w1", "r1", "r2")),
		"2.csv": "not an inventory\n1\n",
		"3.csv": table(requiredHeader+",Note,ward,,x", row("b", "n", "w2", "u", " x ")),
		"4.csv": "",
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	res := readAll(t, testOptions, dir)
	if want := []string{"Ward", "Ref", "Ref (2)", "Note", "column_9", "x"}; !slices.Equal(res.extras, want) {
		t.Errorf("extras = %q, want %q", res.extras, want)
	}
	if len(res.rows) != 2 || !slices.Equal(res.rows[0].Extra, []string{"w1", "r1", "r2"}) || !slices.Equal(res.rows[1].Extra, []string{"w2", "", "", "n", "u", " x "}) {
		t.Errorf("rows = %+v", res.rows)
	}
	if res.rows[1].File != 2 || res.rows[1].Line != 2 {
		t.Errorf("place = %d, %d", res.rows[1].File, res.rows[1].Line)
	}
	if len(res.rejects) != 2 || !res.rejects[0].Whole || !strings.HasSuffix(res.rejects[0].File, "2.csv") || !strings.HasSuffix(res.rejects[1].File, "4.csv") {
		t.Errorf("rejects = %+v", res.rejects)
	}
}

func TestColumnMapping(t *testing.T) {
	opt := testOptions
	opt.Columns = map[string][]string{"Wall mm": {"wall_thickness_mm"}, "UPRN": {"building_id"}, "height": {"-"}}
	in := table("uprn,WALL (MM),stone_type,climate_zone,exposure,embedded_timber,height,rainwater_good", row("a", "tall", "worn"))
	res := readText(t, opt, in)
	if len(res.rejects) > 0 || res.rows[0].Num[WallThickness] != 0.45 || !slices.Equal(res.rows[0].Extra, []string{"tall", "worn"}) {
		t.Errorf("%+v %+v", res.rows, res.rejects)
	}
	if len(res.notes) != 1 || !strings.Contains(res.notes[0], "rainwater_goods") {
		t.Errorf("notes = %q", res.notes)
	}
	opt.Columns = map[string][]string{"Wall mm": {"wall_thickness_mm"}}
	r := onlyReject(t, readText(t, opt, table(requiredHeader+",wall mm", row("a", "5"))))
	if !r.Whole || !strings.Contains(r.Reason, "all give wall_thickness") {
		t.Errorf("reject = %+v", r)
	}
}

func TestStandardInput(t *testing.T) {
	opt := testOptions
	opt.Stdin = iotest.OneByteReader(strings.NewReader(strings.ReplaceAll(table(requiredHeader, row("a")), ",", ";")))
	if res := readAll(t, opt, "-"); ids(res.rows) != "a" {
		t.Errorf("%+v", res)
	}
	opt.Stdin = strings.NewReader(string(smallParquet(t)))
	if r := onlyReject(t, readAll(t, opt, "-")); !r.Whole || !strings.Contains(r.Reason, "standard input") {
		t.Errorf("%+v", r)
	}
}

func TestBrokenReader(t *testing.T) {
	opt := testOptions
	opt.BatchRows = 2
	text := table(requiredHeader, row("a"), row("b"), row("c"))
	opt.Stdin = io.MultiReader(strings.NewReader(text+"d,45"), iotest.ErrReader(errors.New("disk on fire")))
	res := readAll(t, opt, "-")
	// The head is read as one piece; what arrived before the error is kept.
	r := onlyReject(t, res)
	if !r.Whole || !strings.Contains(r.Reason, "disk on fire") {
		t.Errorf("rows %q, reject %+v", ids(res.rows), r)
	}
}

func TestCancel(t *testing.T) {
	src, err := Open([]string{writeFile(t, "in.csv", benchTable(100))}, testOptions)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := src.Next(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("err = %v", err)
	}
}

func TestBatchesDoNotChangeTheResult(t *testing.T) {
	in := benchTable(500) + "bad\n" + strings.Replace(benchTable(20), "HA-", "HB-", -1)
	want := readText(t, testOptions, in)
	for _, n := range []int{1, 7, 100} {
		opt := testOptions
		opt.BatchRows = n
		got := readText(t, opt, in)
		sameBuildings(t, want.rows, got.rows)
		if len(got.rejects) != len(want.rejects) {
			t.Errorf("%d rows: %d rejects, want %d", n, len(got.rejects), len(want.rejects))
		}
	}
}

func TestParquetByNameOnly(t *testing.T) {
	r := onlyReject(t, readAll(t, testOptions, writeFile(t, "in.parquet", table(requiredHeader, row("a")))))
	if !r.Whole || !strings.Contains(r.Reason, "not Parquet") {
		t.Errorf("%+v", r)
	}
	// and Parquet under another name is Parquet
	if res := readAll(t, testOptions, writeBytes(t, "in.csv", smallParquet(t))); len(res.rows) != 60 {
		t.Errorf("%d rows, %+v", len(res.rows), res.rejects)
	}
}

// Batches decoded on many goroutines give what they give one by one.
func TestDecodeInParallel(t *testing.T) {
	for name, path := range map[string]string{"CSV": writeFile(t, "in.csv", benchTable(2000)), "Parquet": writeBytes(t, "in.parquet", smallParquet(t))} {
		opt := testOptions
		opt.BatchRows = 50
		want := readAll(t, opt, path)
		src, err := Open([]string{path}, opt)
		if err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		parts := make([][]Building, want.batches)
		for i := 0; ; i++ {
			b, err := src.Next(context.Background())
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			wg.Go(func() { parts[i], _ = b.Decode() })
		}
		wg.Wait()
		got := slices.Concat(parts...)
		sameBuildings(t, want.rows, got)
		if len(got) == 0 {
			t.Errorf("%s: no rows", name)
		}
	}
}
