//go:build !race

package simulate_test

import (
	"math"
	"reflect"
	"testing"

	"wallsift/model/simulate"
	"wallsift/model/wall"
)

// Watching a year day by day changes nothing, and its days add up to the figures of
// the outcome: rain, mean water, and the weekly humidity at each place.
func TestCourseAddsUpToTheOutcome(t *testing.T) {
	c := setup(t, "brick_common", 0.34, 0.2, wool(0.06)...)
	mats := &simulate.Materials{}
	plain, _, err := simulate.NewWorker(mats).Run(&c, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	var days simulate.Course
	o, _, err := simulate.NewWorker(mats).Run(&c, nil, &days)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(o, plain) {
		t.Error("an outcome that is watched differs")
	}
	rain, water := 0.0, 0.0
	for d := range days.Rain {
		rain += days.Rain[d]
		water += days.Water[d] / 365
		if days.Fill[d] < 0 || days.Fill[d] > 1 {
			t.Fatalf("day %d: filling %v", d, days.Fill[d])
		}
	}
	if math.Abs(rain/o.Rain-1) > 1e-6 || math.Abs(water/o.Water-1) > 0.01 {
		t.Errorf("rain %v and %v kg/m²a, water %v and %v kg/m²", rain, o.Rain, water, o.Water)
	}
	for place := range simulate.NumPlaces {
		for week := range simulate.Weeks - 1 {
			mean := 0.0
			for d := 7 * week; d < 7*week+7; d++ {
				mean += days.RH[place][d] / 7
			}
			if math.Abs(mean-float64(o.Course[place][week])/200) > 0.01 { // kept in half percent
				t.Fatalf("place %d, week %d: %.3f by days, %.3f kept", place, week, mean, float64(o.Course[place][week])/200)
			}
		}
	}
}

// Insulation outside keeps the wall warm, and so drier at embedded timber than it
// stands; a vapour-open board lets it dry (common practice, no source).
func TestInsulationOutsideDriesTheWall(t *testing.T) {
	c := setup(t, "brick_common", 0.34, 0) // rain apart, which a render on the board keeps off
	bare := run(t, c)
	mats, _ := defaults(t)
	board := mats["mineral_wool"]
	old := c.Wall
	c.Wall = wall.Wall{}
	c.Wall.Add(wall.NewLayer(&board, 0.1, board.Lambda.Typical, 0, wall.Sized))
	for i := range old.Layers[:old.N] {
		c.Wall.Add(old.Layers[i])
	}
	o := run(t, c)
	if !o.Insulated || timber(&o) >= timber(&bare) || o.HeatLoss >= bare.HeatLoss {
		t.Errorf("timber at %.3f, bare %.3f; heat %.0f, bare %.0f kWh/m²a", timber(&o), timber(&bare), o.HeatLoss, bare.HeatLoss)
	}
}
