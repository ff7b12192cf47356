package report_test

import (
	"testing"

	"wallsift/screen/report"
)

// Cost of the survey order with gains made up for two buildings of three: rows
// are read twice, once for the order and once for the file.
func BenchmarkWriteVisits(b *testing.B) {
	e, run := screened(b, demoCSV)
	dir := b.TempDir()
	b.ReportAllocs()
	for b.Loop() {
		if err := report.WriteVisitsChanged(dir, e, run, madeUp); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*run.Counts.Accepted), "µs/building")
}
