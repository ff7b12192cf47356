package report_test

import (
	"testing"

	"wallsift/screen/report"
)

// Cost of the work lists: one building is in memory at a time, so allocations
// are for each building and are freed with it.
func BenchmarkWriteWorks(b *testing.B) {
	e, run := screened(b, demoCSV)
	dir := b.TempDir()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := report.WriteWorks(dir, e, run); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*run.Counts.Accepted), "µs/building")
}
