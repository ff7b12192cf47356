package damage_test

import (
	"fmt"
	"math"

	"wallsift/model/damage"
)

// The cold face of an inner lining, invented: damp and cool in winter, dry and
// warm in summer. The year is fed until the mould index repeats itself.
func Example() {
	mould := damage.Mould{Class: damage.Sensitive, Decline: damage.DeclineSignificant}
	year := func() {
		for h := range damage.HoursPerYear {
			season := math.Cos(2 * math.Pi * float64(h) / damage.HoursPerYear)
			mould.Hours(h, 1, 12-6*season, 0.82+0.10*season)
		}
	}
	years, settled := damage.Repeat(10, 0.01, year, mould.Index)
	p := mould.Peak()
	fmt.Printf("%d years, settled %v: index %.2f in hour %d\n", years, settled, p.Value, p.Hour)
	// Output: 2 years, settled true: index 1.25 in hour 1799
}
