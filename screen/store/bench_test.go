package store_test

import (
	"fmt"
	"testing"

	"wallsift/screen/store"
)

// One segment of 3,000 to 200,000 entries of 1.2 KB is opened; its files are in
// the page cache.
func BenchmarkOpen(b *testing.B) {
	for _, n := range []int{3000, 20000, 200000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			dir := b.TempDir()
			fill(b, dir, 0, n)
			b.ReportAllocs()
			for b.Loop() {
				s, err := store.Open(dir, method, store.KeepDays)
				if err != nil || s.Counters().Entries != n {
					b.Fatal(err, s.Counters())
				}
				s.Close()
			}
		})
	}
}

func BenchmarkGet(b *testing.B) {
	dir := b.TempDir()
	fill(b, dir, 0, 20000)
	s := open(b, dir)
	keys := make([][32]byte, 20000)
	for i := range keys {
		keys[i] = key(i)
	}
	i := 0
	for b.Loop() {
		if _, ok := s.Get(keys[i%len(keys)]); !ok {
			b.Fatal("an entry is lost")
		}
		i += 7919
	}
}

func BenchmarkPut(b *testing.B) {
	s := open(b, b.TempDir())
	v := value(0)
	i := 0
	for b.Loop() {
		if err := s.Put(key(i), v); err != nil {
			b.Fatal(err)
		}
		i++
	}
}
