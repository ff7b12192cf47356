package screen_test

import (
	"testing"

	"wallsift/screen"
)

// BenchmarkJudgeFresh judges one building under all strategies with nothing
// remembered: the price of a wall never seen before.
func BenchmarkJudgeFresh(b *testing.B) { benchmarkJudge(b, 0) }

// BenchmarkJudgeMemo judges a building whose walls were seen before.
func BenchmarkJudgeMemo(b *testing.B) { benchmarkJudge(b, 65536) }

func benchmarkJudge(b *testing.B, memo int) {
	w := newEngine(b, map[string]any{"run.memo_entries": memo}).NewWorker()
	home := documented()
	var out []screen.Judgement
	out = w.Judge(home, out)
	b.ReportAllocs()
	for b.Loop() {
		out = w.Judge(home, out[:0])
	}
	if len(out) == 0 {
		b.Fatal("nothing judged")
	}
}

// BenchmarkRunDemo screens the whole demo inventory, writing left out.
func BenchmarkRunDemo(b *testing.B) {
	l := load(b, nil)
	b.ReportAllocs()
	for b.Loop() {
		s := screenFiles(b, l, demoCSV)
		s.run.Close()
	}
}
