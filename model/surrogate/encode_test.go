package surrogate_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"wallsift/model/surrogate"
)

// A surface that was written down predicts the same to the bit, also where an
// output is missing.
func TestWrittenDown(t *testing.T) {
	x, y := several(140, 8, 1)
	for i := range y {
		y[i][2] = 0.25 // a constant needs no kernel
	}
	probe, _ := several(50, 8, 2)
	s, _ := fit(t, x, y, surrogate.Options{})
	b, err := s.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	back := &surrogate.Surface{}
	if err := back.UnmarshalBinary(b); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(predictions(s, probe), predictions(back, probe), cmpopts.EquateNaNs()); d != "" {
		t.Errorf("read back it predicts otherwise:\n%s", d)
	}
	if err := back.UnmarshalBinary(b[:len(b)/2]); err == nil {
		t.Error("half a surface is read without an error")
	}
}
