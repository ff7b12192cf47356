package report

import (
	"math"
	"slices"
	"testing"
)

// Two villages and a home without coordinates: rounds of three stay in a village,
// begin at the stop worth most, and no stop is lost.
func TestRoundsStayNear(t *testing.T) {
	nan := math.NaN()
	stops := []stop{
		{building: 9, worth: 1, latitude: 50, longitude: 4},
		{building: 1, worth: 90, visit: true, latitude: 55.00, longitude: -3.00},
		{building: 2, worth: 80, visit: true, latitude: 57.00, longitude: -4.00},
		{building: 3, worth: 70, visit: true, latitude: 55.01, longitude: -3.00},
		{building: 4, worth: 60, visit: true, latitude: nan, longitude: nan},
		{building: 5, worth: 50, visit: true, latitude: 57.01, longitude: -4.00},
		{building: 6, worth: 40, visit: true, latitude: 55.00, longitude: -3.02},
		{building: 7, worth: 30, visit: true, latitude: 57.00, longitude: -4.01},
	}
	rounds := inRounds(stops, 3)
	var order []uint32
	for i := range stops {
		order = append(order, stops[i].building)
	}
	if want := []uint32{9, 1, 3, 6, 2, 7, 5, 4}; !slices.Equal(order, want) {
		t.Errorf("order %v, want %v", order, want)
	}
	if want := []int{0, 1, 1, 1, 2, 2, 2, 3}; !slices.Equal(rounds, want) {
		t.Errorf("rounds %v, want %v", rounds, want)
	}
}

// One degree of latitude on a sphere of 6,371 km is 111.2 km (2πr/360).
func TestApart(t *testing.T) {
	a, b := stop{latitude: 55, longitude: -3}, stop{latitude: 56, longitude: -3}
	if d := apart(&a, &b); math.Abs(d-111195) > 1 {
		t.Errorf("%g m", d)
	}
}
