package transient

import (
	"math"
	"testing"
)

// Where layers touch, the state between them is that of both: in one material cut
// in two it is the interpolated one, at the insulation of a retrofitted wall it is
// the same on a grid three times as fine, which the first cell is not. Reading it
// changes nothing.
func TestContact(t *testing.T) {
	d := fakeDrive(t, 8760)
	b := compiled(t, brick)
	two := Wall{Layers: []Layer{{Thickness: 0.15, Material: b}, {Thickness: 0.15, Material: b}}}
	watch := func(w Wall, cells int, see func(v *Solver)) Result {
		s, err := NewSolver(w, Options{Cells: cells})
		if err != nil {
			t.Fatal(err)
		}
		s.SetUniform(10, 0.8)
		r := s.Run(d, 3000, see)
		if r.Err != nil {
			t.Fatal(r.Err)
		}
		return r
	}
	seen := watch(two, 40, func(v *Solver) {
		if v.Hour%50 != 0 {
			return
		}
		th, rh := v.Contact(1)
		i := v.CellAt(0.15 + 1e-9)
		// Cells on both sides are equally wide, so the middle is the mean.
		if math.Abs(th-(v.x[i-1].t+v.x[i].t)/2) > 0.02 || math.Abs(rh-(v.RH(i-1)+v.RH(i))/2) > 0.005 {
			t.Errorf("hour %d: %.3f °C, RH %.4f between cells at %.3f °C, %.4f and %.3f °C, %.4f", v.Hour, th, rh, v.x[i-1].t, v.RH(i-1), v.x[i].t, v.RH(i))
		}
	})
	if blind := watch(two, 40, nil); blind != seen {
		t.Errorf("looking at a contact changes the run: %+v, %+v", seen, blind)
	}
	w := retrofitWall(t)
	const insulation = 2
	var contact, cell [2][]float64
	for k, cells := range []int{24, 72} {
		watch(w, cells, func(v *Solver) {
			if v.Hour%24 != 0 {
				return
			}
			_, rh := v.Contact(insulation)
			contact[k] = append(contact[k], rh)
			first, _ := v.span(insulation)
			cell[k] = append(cell[k], v.RH(first))
		})
	}
	off := func(x [2][]float64) (most float64) {
		for i := range x[0] {
			most = max(most, math.Abs(x[0][i]-x[1][i]))
		}
		return most
	}
	t.Logf("24 against 72 cells: contact off by RH %.4f at most, centre of the first cell by %.4f", off(contact), off(cell))
	if off(contact) > 0.02 {
		t.Errorf("the state at the contact moves with the grid by RH %.4f", off(contact))
	}
}
