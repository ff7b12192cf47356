package workbook_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"wallsift/screen/report"
)

// The sheet has the lines and columns of worklist.csv, words for ids.
func TestWorkListSheetIsTheFile(t *testing.T) {
	r := ofDemo(t)
	if _, err := report.WriteWorks(r.dir, r.input.Engine, r.input.Run); err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(filepath.Join(r.dir, report.WorkListCSV))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	got := sheets(t, r.path())["Work list"]
	if len(got) < len(rows) || len(got[0]) != len(rows[0]) {
		t.Fatalf("%d × %d, the file has %d × %d", len(got), len(got[0]), len(rows), len(rows[0]))
	}
	fields := report.NewWorks(r.input.Engine, r.input.Run).Fields()
	for i, f := range fields {
		if f.Name != rows[0][i] || got[0][i] != f.Heading() {
			t.Errorf("column %d: %s, headed %q; the file has %s", i, f.Name, got[0][i], rows[0][i])
		}
		for k := 1; k < len(rows); k++ {
			want, cell := rows[k][i], got[k][i]
			same := cell == want || "'"+cell == want
			switch {
			case f.Kind == report.Real && want != "":
				a, errA := strconv.ParseFloat(cell, 64)
				b, errB := strconv.ParseFloat(want, 64)
				same = errA == nil && errB == nil && a-b < 0.051 && b-a < 0.051
			case f.Name == "strategy" || f.Name == "stage" || f.Name == "material" || f.Name == "limited_by":
				same = (cell == "") == (want == "")
			}
			if !same {
				t.Fatalf("row %d, %s: %q, the file has %q", k, f.Name, cell, want)
			}
		}
	}
	// Below the table stand what readiness means and the caution.
	var below string
	for _, row := range got[len(rows):] {
		below += row[0]
	}
	if below != report.ReadyRule+r.input.Manifest.Caution {
		t.Errorf("below the table: %q", below)
	}
}
