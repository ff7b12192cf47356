package transient

import (
	"syscall"
	"testing"
)

// cpuSeconds is the processor time of this process: the machine may be shared.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) * 1e-9
}

func BenchmarkWallYear(b *testing.B) {
	d := fakeDrive(b, 8760)
	for _, c := range []struct {
		name string
		w    Wall
		o    Options
	}{
		{"retrofit", retrofitWall(b), Options{}},
		{"brick", Wall{Layers: []Layer{{Thickness: 0.4, Material: compiled(b, brick)}}}, Options{}},
	} {
		b.Run(c.name, func(b *testing.B) {
			s, err := NewSolver(c.w, c.o)
			if err != nil {
				b.Fatal(err)
			}
			s.SetUniform(10, 0.8)
			s.Run(d, 8760, nil)
			b.ReportAllocs()
			b.ResetTimer()
			c0 := cpuSeconds()
			var r Result
			for range b.N {
				if r = s.Run(d, 8760, nil); r.Err != nil {
					b.Fatal(r.Err)
				}
			}
			b.ReportMetric((cpuSeconds()-c0)/float64(b.N)*1e3, "cpu-ms/op")
			b.ReportMetric(float64(r.Counters.Steps), "steps")
			b.ReportMetric(float64(r.Counters.TooCoarse+r.Counters.Diverged), "rejected")
			b.ReportMetric(float64(r.Counters.Newton), "newton")
			b.ReportMetric(float64(s.n), "cells")
		})
	}
}
