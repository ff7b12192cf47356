// Package climate turns a table of reference stations into what the wall
// models need: monthly means, driving rain, frost days, degree-hours, and a
// seeded hourly year.
package climate

import "cmp"

// Months is a January-to-December series.
type Months = [12]float64

// Station is one row of the climate table: long-term monthly figures.
type Station struct {
	ID        string  `mapstructure:"-"`
	Label     string  `mapstructure:"label"`
	Zone      string  `mapstructure:"zone"`   // ASHRAE 169 thermal zone, e.g. "4C"
	Koppen    string  `mapstructure:"koppen"` // Köppen–Geiger class, e.g. "Cfb"
	Latitude  float64 `mapstructure:"latitude"`
	Longitude float64 `mapstructure:"longitude"`
	Elevation float64 `mapstructure:"elevation"` // m
	Temp      Months  `mapstructure:"temp"`      // °C, monthly mean
	TempMin   Months  `mapstructure:"temp_min"`
	TempMax   Months  `mapstructure:"temp_max"`
	RH        Months  `mapstructure:"rh"`        // 0–1, monthly mean
	Wind      Months  `mapstructure:"wind"`      // m/s at 10 m, monthly mean
	Rain      Months  `mapstructure:"rain"`      // mm a month (all precipitation)
	RainDays  Months  `mapstructure:"rain_days"` // days a month with ≥ 1 mm
	Sun       Months  `mapstructure:"sun"`       // W/m², mean global horizontal
	RainFrom  float64 `mapstructure:"rain_from"` // degrees, direction rain-bearing wind comes from
	// RainSpread is the circular standard deviation in degrees of the direction of
	// driving rain about RainFrom; 0 where it is not known, see RainSigma.
	RainSpread float64 `mapstructure:"rain_spread"`
	// WeatherFile is the path of an hourly weather file that replaces the hours
	// generated from these figures; the steady tier keeps to the figures.
	WeatherFile string `mapstructure:"weather_file"`
	Source      string `mapstructure:"source"`
}

// commonSpread stands for a spread that is not known: the middle of eight hourly
// records, 39° to 98°.
const commonSpread = 73

// RainSigma returns the spread of the direction of driving rain in degrees, > 0.
func (s *Station) RainSigma() float64 { return cmp.Or(s.RainSpread, commonSpread) }
