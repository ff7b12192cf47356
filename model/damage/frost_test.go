package damage

import (
	"math"
	"testing"
)

// Critical filling 0.85, counted by hand.
func TestFrostCyclesByHand(t *testing.T) {
	for _, c := range []struct {
		name           string
		theta, filling []float64
		frosts, cycles float64
		highest        float64
		hour           int
	}{
		{"never below", []float64{5, 0, -1, 3}, []float64{0.9, 0.9, 0.9, 0.9}, 0, 0, 0, -1},
		{"once", []float64{5, -2, -3, 2}, []float64{0.9, 0.9, 0.9, 0.9}, 1, 1, 0.9, 1},
		{"twice", []float64{-2, 1, -2, 1}, []float64{0.9, 0.9, 0.95, 0.9}, 2, 2, 0.95, 2},
		{"no thaw between", []float64{-2, -0.5, -2, -0.1, -3}, []float64{0.9, 0.9, 0.9, 0.9, 0.9}, 1, 1, 0.9, 0},
		{"thaws at 0", []float64{-2, 0, -2}, []float64{0.9, 0.9, 0.9}, 2, 2, 0.9, 0},
		{"dry", []float64{-2, 1, -2, 1}, []float64{0.84, 0.95, 0.8, 0.95}, 2, 0, 0.84, 0},
		{"one of two wet", []float64{-2, 1, -2, 1}, []float64{0.8, 0.95, 0.85, 0.95}, 2, 1, 0.85, 2},
		{"soaked while frozen, counts once", []float64{-2, -2, -2, -2}, []float64{0.5, 0.87, 0.5, 0.9}, 1, 1, 0.9, 3},
	} {
		f := FreezeThaw{Critical: 0.85}
		for h := range c.theta {
			f.Hours(h, 1, c.theta[h], c.filling[h])
		}
		if y := f.Year(); y.Frosts != c.frosts || y.Cycles != c.cycles || y.Fullest[0] != (FrostPeak{float32(c.highest), int16(c.hour)}) {
			t.Errorf("%s: %+v", c.name, y)
		}
	}
}

// Two years with three wet frosts in each, one of them over new year: five
// frosts in all, since the one that spans the turn of the year is one.
func TestFrostOverTheTurnOfTheYear(t *testing.T) {
	f := FreezeThaw{Critical: 0.85}
	for range 2 {
		for h := range HoursPerYear {
			theta := 5.0
			if h < 10 || h >= 8750 || h == 1000 {
				theta = -5
			}
			f.Hours(h, 1, theta, 0.9)
		}
	}
	if y := f.Year(); y.Cycles != 2.5 {
		t.Errorf("%+v", y)
	}
}

// A stone whose critical filling lies above free saturation counts none however
// wet, one that is not known is not judged, and a soft one counts.
func TestCriticalFillingSetsWhatCounts(t *testing.T) {
	for critical, want := range map[float64]float64{1.2: 0, 0: math.NaN(), math.NaN(): math.NaN(), 0.8: 1} {
		f := FreezeThaw{Critical: critical}
		for h, theta := range []float64{5, -5, 5} {
			f.Hours(h, 1, theta, 1)
		}
		y := f.Year()
		if y.Cycles != want && !(math.IsNaN(want) && math.IsNaN(y.Cycles)) || y.Frosts != 1 || y.Fullest[0].Filling != 1 {
			t.Errorf("critical filling %g: %+v", critical, y)
		}
	}
}

// Frosts are kept by how full they are, fullest first, the same count as the cycles
// above any critical filling among them.
func TestFullestFrostsAreInOrder(t *testing.T) {
	fillings := []float64{0.25, 0.75, 0.5, 0.875, 0.125, 0.625}
	for _, critical := range []float64{0.2, 0.5, 0.7, 0.9} {
		f := FreezeThaw{Critical: critical}
		for i, x := range fillings {
			f.Hours(2*i, 1, -5, x)
			f.Hours(2*i+1, 1, 5, x)
		}
		y, above := f.Year(), 0
		for i, want := range []FrostPeak{{0.875, 6}, {0.75, 2}, {0.625, 10}, {0.5, 4}, {0.25, 0}, {0.125, 8}, {0, -1}} {
			if y.Fullest[i] != want {
				t.Errorf("frost %d: %v, want %v", i, y.Fullest[i], want)
			}
			if float64(want.Filling) >= critical {
				above++
			}
		}
		if y.Cycles != float64(above) {
			t.Errorf("critical %g: %g cycles, want %d", critical, y.Cycles, above)
		}
	}
}
