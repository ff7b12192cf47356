package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet/file"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
	"github.com/apache/beam/sdks/v2/go/pkg/beam/testing/ptest"

	"wallsift/config"
	"wallsift/screen/report"
)

// command is wallsift itself, built as it is built for its users.
var command string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "wallsift-")
	if err != nil {
		panic(err)
	}
	command = filepath.Join(dir, "wallsift")
	if out, err := exec.Command("go", "-C", "../..", "build", "-o", command, "./cmd/wallsift").CombinedOutput(); err != nil {
		panic(string(out))
	}
	code := ptest.MainRet(m)
	os.RemoveAll(dir)
	os.Exit(code)
}

// rows reads Parquet files one after the other: a line of text for each row, the
// names of the columns first.
func rows(t *testing.T, pattern string) (out []string) {
	t.Helper()
	paths, err := filepath.Glob(pattern)
	if err != nil || len(paths) == 0 {
		t.Fatalf("no file %s: %v", pattern, err)
	}
	slices.Sort(paths)
	for _, path := range paths {
		f, err := file.OpenParquetFile(path, false)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		r, err := pqarrow.NewFileReader(f, pqarrow.ArrowReadProperties{}, memory.DefaultAllocator)
		if err != nil {
			t.Fatal(err)
		}
		table, err := r.ReadTable(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer table.Release()
		names := make([]string, table.NumCols())
		lines := make([]strings.Builder, table.NumRows())
		for i := range names {
			c := table.Column(i)
			names[i] = c.Field().String()
			at := 0
			for _, chunk := range c.Data().Chunks() {
				for k := range chunk.Len() {
					fmt.Fprintf(&lines[at], "%s=%q ", c.Name(), chunk.ValueStr(k))
					at++
				}
			}
		}
		if header := strings.Join(names, "; "); len(out) == 0 {
			out = append(out, header)
		} else if out[0] != header {
			t.Errorf("%s has other columns", path)
		}
		for i := range lines {
			out = append(out, lines[i].String())
		}
	}
	return out
}

// screened runs the command and returns its result folder.
func screened(t *testing.T, inventory string, config []string, sets ...string) string {
	t.Helper()
	dir := t.TempDir()
	args := []string{"screen", inventory, "--out", dir}
	for _, file := range config {
		args = append(args, "--config", file)
	}
	for _, s := range sets {
		args = append(args, "--set", s)
	}
	// 3: more rows were rejected than allowed, which is what some lists here are for.
	if out, err := exec.Command(command, args...).CombinedOutput(); err != nil && !strings.Contains(err.Error(), "exit status 3") {
		t.Fatalf("%v: %s", err, out)
	}
	return dir
}

// sameAs runs the pipeline and holds its rows, with the ranks, and its rejects
// against those of the command.
func sameAs(t *testing.T, want string, j job, config_ []string, sets ...string) {
	t.Helper()
	j.Out = filepath.Join(t.TempDir(), "out")
	in := config.Inputs{Files: config_, Flags: map[string]any{}}
	for _, s := range sets {
		key, value, _ := strings.Cut(s, "=")
		in.Flags[key] = value
	}
	if err := j.run(context.Background(), in); err != nil {
		t.Fatal(err)
	}
	got, single := rows(t, filepath.Join(j.Out, "ranking-*.parquet")), rows(t, filepath.Join(want, report.RankingParquet))
	if len(got) != len(single) {
		t.Errorf("%d rows, want %d", len(got)-1, len(single)-1)
	}
	for i := range min(len(got), len(single)) {
		if got[i] != single[i] {
			t.Fatalf("row %d:\n%s\nwant\n%s", i, got[i], single[i])
		}
	}
	if a, b := read(t, j.Out, report.RejectsCSV), read(t, want, report.RejectsCSV); !bytes.Equal(a, b) {
		t.Errorf("rejects:\n%s\nwant\n%s", a, b)
	}
	left, err := os.ReadDir(j.Out)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range left {
		if strings.HasPrefix(f.Name(), ".") {
			t.Errorf("%s is left behind", f.Name())
		}
	}
}

func read(t *testing.T, dir, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func testdata(t *testing.T, name string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("../../testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// homes writes some homes of the demo, from one of its lines on, to a list of their own.
func homes(t *testing.T, first, n int) string {
	t.Helper()
	lines := strings.SplitAfter(string(read(t, testdata(t, ""), "demo.csv")), "\n")
	path := filepath.Join(t.TempDir(), "homes.csv")
	if err := os.WriteFile(path, []byte(lines[0]+strings.Join(lines[first:first+n], "")), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestSteadyRowsAreThoseOfTheCommand(t *testing.T) {
	for _, name := range []string{"demo.csv", "demo.parquet"} {
		t.Run(name, func(t *testing.T) {
			list := testdata(t, name)
			want := screened(t, list, nil, "run.tier=steady")
			for _, part := range []int{10000, 100} { // one file, four files
				sameAs(t, want, job{Inventory: []string{list}, Part: part}, nil, "run.tier=steady")
			}
		})
	}
}

func TestHomesOfWallsAreThoseOfTheCommand(t *testing.T) {
	list, own := testdata(t, "zwirnhagen/walls.csv"), []string{testdata(t, "zwirnhagen/walls.yaml")}
	sameAs(t, screened(t, list, own, "run.tier=steady"), job{Inventory: []string{list}, Part: 10}, own, "run.tier=steady")
}

// What rows must know of each other: ids that come twice, in two files, or look the
// same; walls lost; homes whose key is the id of another row, before or after it.
func TestRowsThatMeetAreThoseOfTheCommand(t *testing.T) {
	dir := t.TempDir()
	const header = "building_id,home_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,protected_facade"
	for name, text := range map[string]string{
		"a.csv": header + ",Mine\n" +
			"one,,500,granite,4C,severe,none,,first\n" +
			"north,H1,500,brick_common,4C,severe,none,,x\n" +
			"one,,300,granite,4C,severe,none,,again\n" +
			"ONE,,300,granite,4C,severe,none,,looks like it\n" +
			"north,taken,500,granite,4C,severe,none,,refused\n" +
			"south,taken,500,granite,4C,severe,none,,refused\n" +
			"west,H1 / north,500,granite,4C,severe,none,,the home is named as a wall is\n" +
			"caf\u00e9,,500,granite,4C,severe,none,,composed\n",
		"b.csv": header + ",Yours\n" +
			"cafe\u0301,,500,granite,4C,severe,none,,decomposed\n" +
			"taken,,400,granite,4C,moderate,none,,stays\n" +
			"east,H1,0,granite,4C,severe,none,,lost\n" +
			"south,H1,400,granite,4C,moderate,joist_ends,yes,y\n" +
			"gone,H2,0,granite,4C,severe,none,,all lost\n" +
			"south,H1,300,granite,4C,severe,none,,again\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	want := screened(t, dir, nil, "run.tier=steady")
	if n := bytes.Count(read(t, want, report.RejectsCSV), []byte("\n")) - 1; n < 7 {
		t.Fatalf("%d rejects: the list does not do what it is for", n)
	}
	sameAs(t, want, job{Inventory: []string{dir}, Part: 2}, nil, "run.tier=steady")
}

func TestHourlyRowsAreThoseOfTheCommand(t *testing.T) {
	list := homes(t, 20, 3)
	sameAs(t, screened(t, list, nil, "chance.draws=0"), job{Inventory: []string{list}, Part: 2}, nil, "chance.draws=0")
}

// With chances, and from a store: what one run kept the next one finds, and neither
// answers otherwise than a run without one.
func TestDrawnRowsAreThoseOfTheCommand(t *testing.T) {
	list, kept := homes(t, 23, 3), t.TempDir()
	want := screened(t, list, nil, "chance.draws=8")
	for range 2 {
		sameAs(t, want, job{Inventory: []string{list}, Store: kept, Part: 2}, nil, "chance.draws=8")
	}
	records, err := filepath.Glob(filepath.Join(kept, "*", "*.record"))
	if err != nil || len(records) != 3 {
		t.Errorf("%d records for 3 homes: %v", len(records), err)
	}
}

func TestSlipsAreNamedBeforeAnythingRuns(t *testing.T) {
	full := t.TempDir()
	if err := os.WriteFile(filepath.Join(full, "ranking-00007.parquet"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for want, j := range map[string]job{
		"name an inventory":       {Out: "x", Part: 1},
		"standard input":          {Out: "x", Part: 1, Inventory: []string{"-"}},
		"--out":                   {Part: 1, Inventory: []string{"x"}},
		"--part_homes":            {Out: "x", Inventory: []string{"x"}},
		"the folder is not empty": {Out: full, Part: 1, Inventory: []string{"x"}},
	} {
		if err := j.run(t.Context(), config.Inputs{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q was expected, got %v", want, err)
		}
	}
}
