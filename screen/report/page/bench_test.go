package page_test

import (
	"os"
	"testing"

	"wallsift/screen/report/page"
)

// The page of about 20,000 buildings under every strategy, with made-up chances
// and courses; it reports the size of the file too.
func BenchmarkWrite(b *testing.B) {
	in := screened(b, many(b, 20500))
	dir := b.TempDir()
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		if err := page.WriteChanged(dir, in, madeUp); err != nil {
			b.Fatal(err)
		}
	}
	info, err := os.Stat(dir + "/" + page.HTML)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(info.Size())/1e6, "MB")
	b.ReportMetric(float64(in.Run.Counts.Accepted), "buildings")
}
