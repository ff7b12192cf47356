package climate_test

import (
	"math"
	"testing"

	"wallsift/model/air"
	"wallsift/model/climate"
)

// Published corner values. ISO 13788:2012 annex A gives the class bounds both as
// vapour density and as pressure: 270, 540, 810, 1080 Pa at and below 0 °C, which
// are rounded conversions at 20 °C. EN 15026:2007 annex C: 20 °C to 10 °C
// outside, 25 °C from 20 °C; 30 % at −10 °C to 60 % at 20 °C, high occupancy
// 10 % points more.
func TestIndoor(t *testing.T) {
	for class, want := range []float64{1: 270, 540, 810, 1080} {
		for _, te := range []float64{-10, 0, 10, 20} {
			if class == 0 {
				continue
			}
			ti, pi := climate.HumidityLoad(class, 1).Room(climate.IndoorTemp, te, 300)
			fall := min(1, (20-te)/20)
			if ti != 20 || math.Abs(pi-300-want*fall) > 2.5 {
				t.Errorf("class %d at %v °C: %v °C, excess %.1f Pa, expected %.1f", class, te, ti, pi-300, want*fall)
			}
		}
	}
	if _, pi := climate.MaxLoad.Room(climate.IndoorTemp, 0, 2000); pi != air.Psat(20) {
		t.Errorf("vapour pressure %v above saturation", pi)
	}
	corners := []struct {
		rule       climate.Indoor
		te, ti, rh float64
	}{
		{climate.IndoorNormal, -20, 20, 0.30}, {climate.IndoorNormal, -10, 20, 0.30},
		{climate.IndoorNormal, 5, 20, 0.45}, {climate.IndoorNormal, 10, 20, 0.50},
		{climate.IndoorNormal, 15, 22.5, 0.55}, {climate.IndoorNormal, 20, 25, 0.60},
		{climate.IndoorNormal, 30, 25, 0.60}, {climate.IndoorHigh, -10, 20, 0.40}, {climate.IndoorHigh, 25, 25, 0.70},
	}
	for _, c := range corners {
		ti, pi := c.rule.Room(climate.IndoorTemp, c.te, 0)
		if rh := pi / air.Psat(ti); math.Abs(ti-c.ti) > 1e-9 || math.Abs(rh-c.rh) > 1e-9 {
			t.Errorf("rule %d at %v °C: %v °C, %.3f; expected %v °C, %.2f", c.rule, c.te, ti, rh, c.ti, c.rh)
		}
	}
}

// A class spans from the bound of the class below to its own; what is no rule acts
// as the upper bound of class 3, the worse side.
func TestHumidityLoad(t *testing.T) {
	for _, c := range []struct {
		class  int
		within float64
		want   climate.Indoor
	}{{1, 0, 1}, {1, 1, 4}, {2, 0, 4}, {3, 0.5, 10}, {3, 0.6, 10}, {3, 0.99, 12}, {5, 1, 20}, {5, 2, 20}} {
		if got := climate.HumidityLoad(c.class, c.within); got != c.want {
			t.Errorf("class %d, %v within it: load %d, expected %d", c.class, c.within, got, c.want)
		}
	}
	_, want := climate.HumidityLoad(3, 1).Room(climate.IndoorTemp, 5, 700)
	for _, i := range []climate.Indoor{0, climate.IndoorHigh + 1} {
		if _, pi := i.Room(climate.IndoorTemp, 5, 700); pi != want {
			t.Errorf("rule %d: %v Pa, expected %v", i, pi, want)
		}
	}
}
