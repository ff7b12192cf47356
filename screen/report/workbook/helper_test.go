package workbook_test

import (
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/xuri/excelize/v2"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/workbook"
)

const demo = "../../../testdata/demo.csv"

// result is a run with its files in dir.
type result struct {
	dir   string
	input report.Results
	cut   []string
}

func (r *result) path() string { return filepath.Join(r.dir, workbook.XLSX) }

var dirs []string // of results, removed at the end

func TestMain(m *testing.M) {
	code := m.Run()
	for _, dir := range dirs {
		os.RemoveAll(dir)
	}
	os.Exit(code)
}

// engine is made once; it is only read.
var engine = sync.OnceValues(func() (*config.Loaded, *screen.Engine) { return engineIn(config.UnitsSI) })

var engineIP = sync.OnceValues(func() (*config.Loaded, *screen.Engine) { return engineIn(config.UnitsIP) })

func engineIn(units string) (*config.Loaded, *screen.Engine) {
	l, err := config.Load(config.Inputs{Flags: map[string]any{"run.tier": config.TierSteady, "output.units": units, "output.address": "street"}})
	if err != nil {
		panic(err)
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		panic(err)
	}
	return l, e
}

var demoResult *result

// ofDemo is the demo's result, made once; its files are only read.
func ofDemo(t testing.TB) *result {
	t.Helper()
	if demoResult == nil {
		demoResult = made(t, demo, nil)
	}
	return demoResult
}

// made screens an inventory and writes its workbook; change may set the input.
func made(t testing.TB, inventory string, change func(*report.Results)) *result {
	t.Helper()
	l, e := engine()
	return madeBy(t, l, e, inventory, change)
}

func madeBy(t testing.TB, l *config.Loaded, e *screen.Engine, inventory string, change func(*report.Results)) *result {
	t.Helper()
	dir, err := os.MkdirTemp("", "workbook-test-")
	if err != nil {
		t.Fatal(err)
	}
	dirs = append(dirs, dir)
	src, err := ingest.Open([]string{inventory}, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	r := &result{dir: dir}
	rejects, err := report.NewRejects(r.dir)
	if err != nil {
		t.Fatal(err)
	}
	// The run stays open: results may be shared. Its file goes with the folder.
	run, err := e.Run(context.Background(), src, screen.Options{Dir: r.dir, Rejected: rejects.Add})
	if err != nil {
		t.Fatal(err)
	}
	if err := rejects.Close(); err != nil {
		t.Fatal(err)
	}
	m := report.NewManifest("test", l, e, run, src.Notes())
	trades, err := report.WriteWorks(r.dir, e, run)
	if err != nil {
		t.Fatal(err)
	}
	visits, err := report.NewVisits(e, run)
	if err != nil {
		t.Fatal(err)
	}
	r.input = report.Results{Engine: e, Run: run, Manifest: m, Trades: trades, Visits: visits, Shown: report.Shown(e, run, visits)}
	if change != nil {
		change(&r.input)
	}
	if r.cut, err = workbook.Write(t.Context(), r.dir, r.input); err != nil {
		t.Fatal(err)
	}
	return r
}

func inventory(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "inventory.csv")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// sheets reads a workbook from the headers on: raw values, rows as long as the
// header. Above each stands the caution.
func sheets(t testing.TB, path string) map[string][][]string {
	t.Helper()
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out := map[string][][]string{}
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name)
		if err != nil {
			t.Fatal(err)
		}
		if len(rows) < 2 || !strings.HasPrefix(rows[0][0], report.ShortCaution) {
			t.Errorf("%s has no caution at its head", name)
		}
		rows = rows[1:]
		for i, r := range rows {
			for len(r) < len(rows[0]) {
				r = append(r, "")
			}
			rows[i] = r
		}
		out[name] = rows
	}
	return out
}

// column finds a column of a sheet by its title, -1 where it is not there.
func column(rows [][]string, title string) int { return slices.Index(rows[0], title) }

// ranking reads ranking.csv of a result.
func (r *result) ranking(t testing.TB) [][]string {
	t.Helper()
	if err := report.WriteRanking(r.dir, r.input.Engine, r.input.Run); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(filepath.Join(r.dir, report.RankingCSV))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(b))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
