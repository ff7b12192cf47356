package screen_test

import (
	"testing"
)

// BenchmarkSteady judges one building under all strategies by monthly balances.
func BenchmarkSteady(b *testing.B) {
	w := newEngine(b, nil).NewWorker()
	home := documented()
	b.ReportAllocs()
	for b.Loop() {
		if len(w.Steady(home)) == 0 {
			b.Fatal("nothing judged")
		}
	}
}

// BenchmarkHourly judges one building hour by hour under two strategies, with draws
// of what is not known.
func BenchmarkHourly(b *testing.B) {
	w := newEngine(b, hourByHour(nil), userFile(b, twoStrategies)).NewWorker()
	home := documented()
	asked := 0
	for b.Loop() {
		a, err := w.Judge(home)
		if err != nil {
			b.Fatal(err)
		}
		asked = a.Cases
	}
	b.ReportMetric(float64(asked), "cases")
}

// BenchmarkRunDemo screens the whole demo inventory by monthly balances, writing
// left out.
func BenchmarkRunDemo(b *testing.B) {
	l := load(b, nil)
	b.ReportAllocs()
	for b.Loop() {
		s := screenFiles(b, l, demoCSV)
		s.run.Close()
	}
}
