package damage_test

import (
	"fmt"
	"math"

	"wallsift/model/damage"
)

// The cold face of an inner lining, invented: damp and cool in winter, dry and
// warm in summer, for two years.
func Example() {
	mould := damage.Mould{Class: damage.Sensitive, Decline: 0.5}
	for h := range 2 * damage.HoursPerYear {
		season := math.Cos(2 * math.Pi * float64(h) / damage.HoursPerYear)
		mould.Hours(h%damage.HoursPerYear, 1, 12-6*season, 0.82+0.10*season)
	}
	p := mould.Peak()
	fmt.Printf("index %.2f in hour %d\n", p.Value, p.Hour)
	// Output: index 1.25 in hour 1799
}
