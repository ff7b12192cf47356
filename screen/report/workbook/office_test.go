package workbook_test

import (
	"context"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"time"
	"wallsift/screen/report"
)

// An office suite reads the workbook and finds in it what was written: every
// sheet is converted to CSV by a program that shares no code with the writer, and
// compared cell by cell.
func TestOfficeSuiteReadsIt(t *testing.T) {
	office, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("soffice is not installed")
	}
	for name, r := range map[string]*result{"demo": ofDemo(t), "hostile": made(t, inventory(t, hostile), nil)} {
		out := t.TempDir()
		// A comma, quotes, UTF-8, values as they are shown, text quoted, all sheets.
		const filter = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,true,true,false,false,false,-1"
		ctx, stop := context.WithTimeout(t.Context(), 3*time.Minute)
		defer stop()
		cmd := exec.CommandContext(ctx, office, "-env:UserInstallation=file://"+filepath.ToSlash(t.TempDir()), "--headless", "--convert-to", filter, "--outdir", out, r.path())
		message, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v: %s", name, err, message)
		}
		for _, word := range []string{"repair", "corrupt", "damaged", "Error"} {
			if strings.Contains(string(message), word) {
				t.Errorf("%s: %s", name, message)
			}
		}
		for sheet, want := range sheets(t, r.path()) {
			f, err := os.Open(filepath.Join(out, "ranking-"+sheet+".csv"))
			if err != nil {
				t.Fatal(err)
			}
			c := csv.NewReader(f)
			c.FieldsPerRecord = -1
			got, err := c.ReadAll()
			f.Close()
			if err != nil {
				t.Fatal(err)
			}
			want = filled(want)
			got = filled(got)[1:] // below the caution
			if len(got) != len(want) {
				t.Errorf("%s: %d rows, expected %d", sheet, len(got), len(want))
				continue
			}
			for k := range want {
				for i, cell := range want[k] {
					if i >= len(got[k]) || !shownAs(got[k][i], cell) {
						t.Fatalf("%s %s, row %d, column %d: %q, written was %q", name, sheet, k+1, i+1, got[k], want[k])
					}
				}
			}
		}
	}
}

// filled leaves out rows without a cell, which the one writes and the other not.
func filled(rows [][]string) (out [][]string) {
	for _, r := range rows {
		if strings.Join(r, "") != "" {
			out = append(out, r)
		}
	}
	return out
}

// shownAs says whether a cell shows what was written: the same text, or the same
// number at the digits shown, with or without marks of thousands or a percent sign.
func shownAs(shown, written string) bool {
	if shown == written {
		return true
	}
	x, err := strconv.ParseFloat(written, 64)
	if err != nil {
		return false
	}
	if shown == "far beyond" {
		return x >= report.FarBeyond
	}
	digits := strings.TrimSuffix(strings.ReplaceAll(shown, ",", ""), "%")
	if strings.HasSuffix(shown, "%") {
		x *= 100
	}
	y, err := strconv.ParseFloat(digits, 64)
	half := 0.5
	if at := strings.IndexByte(digits, '.'); at >= 0 {
		for range digits[at+1:] {
			half /= 10
		}
	}
	return err == nil && x-y <= half*1.0001 && y-x <= half*1.0001
}
