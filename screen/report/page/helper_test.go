package page_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/simulate"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/page"
)

const demo = "../../../testdata/demo.csv"

// engine judges by the steady tier, which is fast; it is made once and only read.
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

// screened runs an inventory.
func screened(t testing.TB, inventory string) report.Results {
	t.Helper()
	l, e := engine()
	return screenedBy(t, l, e, inventory)
}

func screenedBy(t testing.TB, l *config.Loaded, e *screen.Engine, inventory string) report.Results {
	t.Helper()
	src, err := ingest.Open([]string{inventory}, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	run, err := e.Run(context.Background(), src, screen.Options{Dir: t.TempDir(), Rejected: func(ingest.Reject) error { return nil }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(run.Close)
	m := report.NewManifest("test", l, e, run, src.Notes())
	trades, err := report.WriteWorks(t.TempDir(), e, run)
	if err != nil {
		t.Fatal(err)
	}
	visits, err := report.NewVisits(e, run)
	if err != nil {
		t.Fatal(err)
	}
	return report.Results{Engine: e, Run: run, Manifest: m, Trades: trades, Shown: report.Shown(e, run, visits)}
}

// written writes the page of a run; change may be nil.
func written(t testing.TB, in report.Results, change func(uint32, *screen.Row)) string {
	t.Helper()
	dir := t.TempDir()
	var err error
	if change == nil {
		err = page.Write(dir, in)
	} else {
		err = page.WriteChanged(dir, in, change)
	}
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, page.HTML)
}

// madeUp stands in for a run of the transient tier: fields that this package
// only prints are set to made-up values, other for each building and strategy.
func madeUp(i uint32, row *screen.Row) {
	for k := range row.Judgements {
		j := &row.Judgements[k]
		if j.Excluded {
			continue
		}
		mix := math.Mod(float64(i)*0.618+float64(j.Strategy)*0.377, 1)
		j.Tier = 1
		j.Chance = min(1, max(0, j.High-0.5+0.3*mix))
		j.ChanceLow, j.ChanceHigh = max(0, j.Chance-0.1), min(1, j.Chance+0.1)
		j.Draws = 32
		j.Near = j.ChanceLow < 0.1 && j.ChanceHigh > 0.1
		j.Allowance = screen.Allowance{Known: true, Thickness: 0.01 * math.Floor(12*mix), By: j.Governing, Full: mix > 0.8}
		for w := range simulate.Weeks {
			year := math.Cos(2 * math.Pi * float64(w) / float64(simulate.Weeks))
			j.Course[0][w] = uint8(150 + 30*mix*year + 10*mix)
			j.Course[1][w] = uint8(140 + 20*year*mix)
		}
	}
	if i%10 == 9 {
		return // a building for which nothing was drawn
	}
	row.Survey.Wrong = float32(math.Mod(float64(i)*0.377, 0.6))
	for k, f := range []ingest.Category{ingest.EmbeddedTimber, ingest.HumidityClass, ingest.OuterFinish} {
		row.Survey.Facts = append(row.Survey.Facts, screen.Fact{Field: int16(f), Gain: row.Survey.Wrong / float32(2+k)})
	}
	row.Survey.Facts = append(row.Survey.Facts, screen.Fact{Field: int16(ingest.NumCategories) + int16(ingest.Orientation), Gain: row.Survey.Wrong / 9})
}

// many writes an inventory of n buildings: the demo's rows again and again, with
// other ids and walls.
func many(t testing.TB, n int) string {
	t.Helper()
	b, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(b))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Write(rows[0])
	for i, made := 0, 0; made < n; i++ {
		row := append([]string{}, rows[1+i%(len(rows)-1)]...)
		mm, err := strconv.Atoi(row[1])
		if err != nil || mm < 100 || len(row) != len(rows[0]) {
			continue // one of the demo's flawed rows
		}
		row[0], row[1] = fmt.Sprintf("HX-%05d", made+1), strconv.Itoa(mm+i*7%61-30)
		w.Write(row)
		made++
	}
	w.Flush()
	path := filepath.Join(t.TempDir(), "many.csv")
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
