package screen_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// screened is a finished run with its rejects.
type screened struct {
	e       *screen.Engine
	run     *screen.Run
	rejects []ingest.Reject
	notes   []string
}

func screenFiles(t testing.TB, l *config.Loaded, files ...string) *screened {
	t.Helper()
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	src, err := ingest.Open(files, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	s := &screened{e: e}
	s.run, err = e.Run(t.Context(), src, screen.Options{Dir: t.TempDir(), Rejected: func(r ingest.Reject) error {
		s.rejects = append(s.rejects, r)
		return nil
	}})
	if err != nil {
		t.Fatal(err)
	}
	s.notes = src.Notes()
	t.Cleanup(s.run.Close)
	return s
}

// resultFiles writes every result file and reads it back.
func resultFiles(t *testing.T, l *config.Loaded, s *screened) map[string]string {
	t.Helper()
	dir := t.TempDir()
	if err := report.WriteRanking(dir, s.e, s.run); err != nil {
		t.Fatal(err)
	}
	rejects, err := report.NewRejects(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range s.rejects {
		if err := rejects.Add(r); err != nil {
			t.Fatal(err)
		}
	}
	if err := rejects.Close(); err != nil {
		t.Fatal(err)
	}
	m := report.NewManifest("test", l, s.e, s.run, s.notes)
	// Where values came from tells the flags of this test apart, not the result.
	m.Sources = nil
	if err := m.Write(dir); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, name := range []string{report.RankingCSV, report.RankingParquet, report.RejectsCSV, report.ManifestJSON} {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		out[name] = string(b)
	}
	return out
}

func TestResultsDoNotDependOnHowARunIsCarriedOut(t *testing.T) {
	var want map[string]string
	for _, o := range []struct{ workers, batch int }{{1, 4096}, {2, 16}, {7, 4096}, {7, 50}} {
		l := load(t, map[string]any{"run.workers": o.workers, "input.batch_rows": o.batch})
		got := resultFiles(t, l, screenFiles(t, l, demoCSV))
		if want == nil {
			want = got
			continue
		}
		for name := range want {
			if got[name] != want[name] {
				t.Errorf("%d workers, %d rows a batch: %s differs", o.workers, o.batch, name)
			}
		}
	}
	if len(want[report.RankingCSV]) < 1000 || !strings.HasPrefix(want[report.RankingParquet], "PAR1") {
		t.Fatal("the results are empty")
	}
}

// rowsByID reads a run back, building by building.
func rowsByID(t *testing.T, r *screen.Run) map[string][]screen.Judgement {
	t.Helper()
	out := map[string][]screen.Judgement{}
	err := r.Each(r.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		out[row.Building.ID] = slices.Clone(row.Judgements)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The Parquet copy of the demo leaves two ragged rows out; all others are the
// same homes (testdata/README.md).
func TestCSVAndParquetGiveTheSameJudgements(t *testing.T) {
	l := load(t, nil)
	a, b := screenFiles(t, l, demoCSV), screenFiles(t, l, demoParquet)
	csvRows, parquetRows := rowsByID(t, a.run), rowsByID(t, b.run)
	both := 0
	for id, want := range csvRows {
		got, ok := parquetRows[id]
		if !ok {
			t.Errorf("%s is accepted in the CSV file and not in the Parquet file", id)
			continue
		}
		both++
		// Decimal text and the file's own doubles may differ by the last digit.
		if d := cmp.Diff(want, got, cmpopts.EquateApprox(1e-12, 1e-12)); d != "" {
			t.Errorf("%s: %s", id, d)
		}
	}
	if both != len(parquetRows) || both < 300 {
		t.Errorf("%d homes in both, %d in the CSV file, %d in the Parquet file", both, len(csvRows), len(parquetRows))
	}
	// testdata/README.md: 19 bad rows in the CSV file, 17 in the Parquet file.
	if a.run.Counts.Rejected != 19 || b.run.Counts.Rejected != 17 {
		t.Errorf("rejected: %d and %d rows", a.run.Counts.Rejected, b.run.Counts.Rejected)
	}
}

func TestEveryRowIsAcceptedOrRejected(t *testing.T) {
	f, err := os.Open(demoCSV)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	rows := -1 // the header
	for {
		if _, err := r.Read(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		rows++
	}
	c := screenFiles(t, load(t, nil), demoCSV).run.Counts
	if c.Accepted+c.Rejected != rows || c.BrokenFiles != 0 {
		t.Errorf("%d rows in the file, %+v", rows, c)
	}
}

const header = "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\n"

func inventory(t testing.TB, name, body string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(header+body), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestFirstOfTwoEqualIDsCounts(t *testing.T) {
	var b strings.Builder
	for i := range 40 {
		fmt.Fprintf(&b, "H%d,%d,brick_common,4c,moderate,none\n", i%25, 300+i)
	}
	for _, batch := range []int{1, 7, 4096} {
		l := load(t, map[string]any{"input.batch_rows": batch, "run.workers": 4})
		s := screenFiles(t, l, inventory(t, "a.csv", b.String()))
		if s.run.Counts.Accepted != 25 || s.run.Counts.Rejected != 15 {
			t.Fatalf("batches of %d: %+v", batch, s.run.Counts)
		}
		for i, r := range s.rejects {
			if r.Line != int64(27+i) || r.Known != fmt.Sprintf("H%d", i) || !strings.Contains(r.Reason, "line "+strconv.Itoa(2+i)) {
				t.Errorf("batches of %d, reject %d: %+v", batch, i, r)
			}
		}
		err := s.run.Each(s.run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
			if row.Building.Line > 26 {
				t.Errorf("%s: line %d counts", row.Building.ID, row.Building.Line)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// A bad row never stops a run: its neighbours are judged as if it was not there.
func TestBadRowLeavesItsNeighboursAlone(t *testing.T) {
	good := "A,500,brick_common,4c,moderate,none\n"
	l := load(t, nil)
	alone := rowsByID(t, screenFiles(t, l, inventory(t, "a.csv", good)).run)
	beside := screenFiles(t, l, inventory(t, "a.csv", "X,see file,brick_common,4c,moderate,none\n"+good+"Y,500,brik,4c,moderate,none\n"))
	if d := cmp.Diff(alone, rowsByID(t, beside.run)); d != "" {
		t.Error(d)
	}
	if len(beside.rejects) != 2 || beside.rejects[0].Column != "wall_thickness_mm" || beside.rejects[1].Column != "stone_type" {
		t.Errorf("%+v", beside.rejects)
	}
}

func TestRanksArePermutations(t *testing.T) {
	s := screenFiles(t, load(t, nil), demoCSV)
	n := s.run.Ranks.Len()
	for _, order := range append(slices.Clone(s.run.Ranks.Order[:len(s.run.Choices())]), s.run.Ranks.Overall) {
		seen := make([]bool, n)
		for _, b := range order {
			seen[b] = true
		}
		if len(order) != n || slices.Contains(seen, false) {
			t.Fatal("a building is missing in an order, or stands there twice")
		}
	}
	for st, order := range s.run.Ranks.Order {
		for rank, b := range order {
			if s.run.Ranks.In(uint8(st), b) != rank+1 {
				t.Fatalf("strategy %d: building %d has rank %d, stands at %d", st, b, s.run.Ranks.In(uint8(st), b), rank+1)
			}
		}
	}
	// The order of buildings follows the printed rule: verdicts never get better
	// on the way down among strategies that no gate excludes.
	last, excluded := 0, false
	err := s.run.Each(s.run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		j := &row.Judgements[0]
		if excluded && !j.Excluded || j.Excluded == excluded && rung(j) < last {
			t.Errorf("%s: %v after rung %d of the rule", row.Building.ID, j.Verdict, last)
		}
		last, excluded = rung(j), j.Excluded
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// Two files in one run equal the rows of both, the first file's id counting.
func TestSeveralFilesAreOneInventory(t *testing.T) {
	a := inventory(t, "a.csv", "A,500,brick_common,4c,moderate,none\nB,400,granite_rubble,4c,severe,none\n")
	b := inventory(t, "b.csv", "B,900,tuff_rubble,4c,moderate,none\nC,400,granite_rubble,5a,severe,lintels\n")
	s := screenFiles(t, load(t, nil), a, b)
	if s.run.Counts.Accepted != 3 || s.run.Counts.Rejected != 1 || s.rejects[0].File != b || s.rejects[0].Line != 2 {
		t.Errorf("%+v %+v", s.run.Counts, s.rejects)
	}
	var ids bytes.Buffer
	if err := s.run.Each([]uint32{0, 1, 2}, func(_ uint32, row *screen.Row) error {
		fmt.Fprint(&ids, row.Building.ID, row.Building.Stone, " ")
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if ids.String() != "Abrick_common Bgranite_rubble Cgranite_rubble " {
		t.Errorf("read back: %s", ids.String())
	}
}
