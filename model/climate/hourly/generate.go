package hourly

import (
	"errors"
	"fmt"

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

// Generate makes the year of a station. It fails when climate.Validate finds
// fault with the station or the kind is unknown. The figures it meets are those
// of Figures, to round-off: monthly means of Theta, RH, Wind and Global, sums of
// Rain and its days of 1 mm and more. The monthly means of the daily extremes of
// Theta, formed from hourly means, are met to 0.05 K in 99 months of 100 and to
// 0.3 K in 999 of 1000; 0.6 K is the worst seen. The same arguments give the same
// bytes on one kind of processor.
func Generate(s *climate.Station, seed uint64, kind Kind) (*Hours, error) {
	if kind != Mean && kind != Design {
		return nil, fmt.Errorf("hourly: kind %d is unknown, expected Mean or Design", kind)
	}
	if errs := climate.Validate(*s); len(errs) > 0 {
		return nil, fmt.Errorf("hourly: station %q: %w", s.ID, errors.Join(errs...))
	}
	y := year{figures: Figures(s, kind), seed: seed}
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
