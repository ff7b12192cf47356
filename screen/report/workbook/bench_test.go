package workbook_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"wallsift/screen/report/workbook"
)

// BenchmarkWrite writes a little over 20,000 buildings, the demo's rows drawn again.
func BenchmarkWrite(b *testing.B) {
	f, err := os.Open(demo)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.FieldsPerRecord = -1
	rows, err := in.ReadAll()
	if err != nil {
		b.Fatal(err)
	}
	path := filepath.Join(b.TempDir(), "many.csv")
	out, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	w := csv.NewWriter(out)
	if err := w.Write(rows[0]); err != nil {
		b.Fatal(err)
	}
	for i := range 21000 { // some of the demo are rejected
		row := rows[1+i%(len(rows)-1)]
		row[0] = fmt.Sprintf("HX-%06d", i)
		if err := w.Write(row); err != nil {
			b.Fatal(err)
		}
	}
	w.Flush()
	if err := out.Close(); err != nil {
		b.Fatal(err)
	}
	r := made(b, path, nil)
	b.ResetTimer()
	for b.Loop() {
		if _, err := workbook.Write(b.Context(), r.dir, r.input); err != nil {
			b.Fatal(err)
		}
	}
	info, err := os.Stat(r.path())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(info.Size())/(1<<20), "MiB/file")
	b.ReportMetric(float64(r.input.Run.Counts.Accepted), "buildings")
}
