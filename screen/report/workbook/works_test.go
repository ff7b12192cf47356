package workbook_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
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
	w := report.Works(r.input.Engine, r.input.Run)
	for i, f := range w.Columns {
		at := column(got, f.Heading())
		if f.Name != rows[0][i] {
			t.Errorf("column %d: %s; the file has %s", i, f.Name, rows[0][i])
		}
		for k := 1; k < len(rows); k++ {
			want := rows[k][i]
			if at < 0 {
				if want != "" && f.Brief {
					t.Fatalf("%s has values and is not on the sheet", f.Name)
				}
				continue
			}
			cell := got[k][at]
			same := cell == want || "'"+cell == want
			switch {
			case f.Kind == report.Real && want != "":
				a, errA := strconv.ParseFloat(cell, 64)
				b, errB := strconv.ParseFloat(want, 64)
				same = errA == nil && errB == nil && a-b < 0.051 && b-a < 0.051
			case slices.Contains([]string{"strategy", "stage", "material", "limited_by", "verdict"}, f.Name):
				same = (cell == "") == (want == "")
			case f.Name == "caution": // the short one stands at the head of the sheet
				same = strings.TrimSpace(report.ShortCaution+" "+cell) == want
			}
			if !same {
				t.Fatalf("row %d, %s: %q, the file has %q", k, f.Name, cell, want)
			}
		}
	}
	// Below the table stands what readiness means.
	var below string
	for _, row := range got[len(rows):] {
		below += row[0]
	}
	if below != report.ReadyRule {
		t.Errorf("below the table: %q", below)
	}
}
