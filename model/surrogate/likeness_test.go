package surrogate_test

import (
	"testing"

	"wallsift/model/surrogate"
)

// Likeness is 1 for equal rows, the same both ways, and falls with the distance.
func TestLikeness(t *testing.T) {
	x, y := several(140, 8, 1)
	s, _ := fit(t, x, y, surrogate.Options{})
	scratch := s.NewScratch()
	for o := range y[0] {
		a, far := x[0], x[1]
		half := make([]float64, len(a))
		for j := range a {
			half[j] = (a[j] + far[j]) / 2
		}
		same, there, back, near := s.Likeness(o, a, a, scratch), s.Likeness(o, a, far, scratch), s.Likeness(o, far, a, scratch), s.Likeness(o, a, half, scratch)
		if same != 1 || there != back || !(0 < there && there < near && near < 1) {
			t.Errorf("output %d: %g to itself, %g half way, %g there, %g back", o, same, near, there, back)
		}
	}
}
