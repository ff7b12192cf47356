package hourly

import (
	"errors"
	"fmt"
	"math"

	"wallsift/model/climate"
)

// year is a year under way: what one quantity hands to the next.
type year struct {
	figures climate.Station
	seed    uint64
	wet     [days]bool // days with precipitation
	sky     []float64  // clearness by the hour, unbounded, of mean zero or so
	clear   []float64  // clearness by the hour, 0 overcast to 1 clear
	Hours
}

// Generate makes a year of a station. The deviate is how bad a year to make, as a
// standard normal value of yearly driving rain: 0 the mean year, OneInTen the year
// that is passed once in ten, up to 4 to either side. It fails when
// climate.Validate finds fault with the station or the deviate is out of range. The figures it meets are those
// of Figures, to round-off: monthly means of Theta, RH, Wind and Global, sums of
// Rain and its days of 1 mm and more. The monthly means of the daily extremes of
// Theta, formed from hourly means, are met to 0.05 K in 99 months of 100 and to
// 0.3 K in 999 of 1000; 0.6 K is the worst seen. The same arguments give the same
// bytes on one kind of processor.
func Generate(s *climate.Station, seed uint64, deviate float64) (*Hours, error) {
	if !(math.Abs(deviate) <= maxDeviate) {
		return nil, fmt.Errorf("hourly: the deviate %v of a year is outside -%d to %d", deviate, maxDeviate, maxDeviate)
	}
	if errs := climate.Validate(*s); len(errs) > 0 {
		return nil, fmt.Errorf("hourly: station %q: %w", s.ID, errors.Join(errs...))
	}
	y := year{figures: Figures(s, deviate), seed: seed}
	y.rain()
	y.clouds()
	y.radiation()
	y.temperature()
	y.humidity()
	y.wind()
	y.direction()
	y.skyTemperature()
	return &y.Hours, nil
}
