// Package climate turns a table of reference stations into what the wall
// models need: monthly means, driving rain, frost days, degree-hours, and a
// seeded hourly year.
package climate

// Months is a January-to-December series.
type Months = [12]float64

// Station is one row of the climate table: long-term monthly figures.
type Station struct {
	ID        string  `mapstructure:"-" yaml:"-"`
	Label     string  `mapstructure:"label" yaml:"label"`
	Zone      string  `mapstructure:"zone" yaml:"zone"`     // ASHRAE 169 thermal zone, e.g. "4C"
	Koppen    string  `mapstructure:"koppen" yaml:"koppen"` // Köppen–Geiger class, e.g. "Cfb"
	Latitude  float64 `mapstructure:"latitude" yaml:"latitude"`
	Longitude float64 `mapstructure:"longitude" yaml:"longitude"`
	Elevation float64 `mapstructure:"elevation" yaml:"elevation"` // m
	Temp      Months  `mapstructure:"temp" yaml:"temp,flow"`      // °C, monthly mean
	TempMin   Months  `mapstructure:"temp_min" yaml:"temp_min,flow"`
	TempMax   Months  `mapstructure:"temp_max" yaml:"temp_max,flow"`
	RH        Months  `mapstructure:"rh" yaml:"rh,flow"`               // 0–1, monthly mean
	Wind      Months  `mapstructure:"wind" yaml:"wind,flow"`           // m/s at 10 m, monthly mean
	Rain      Months  `mapstructure:"rain" yaml:"rain,flow"`           // mm a month (all precipitation)
	RainDays  Months  `mapstructure:"rain_days" yaml:"rain_days,flow"` // days a month with ≥ 1 mm
	Sun       Months  `mapstructure:"sun" yaml:"sun,flow"`             // W/m², mean global horizontal
	RainFrom  float64 `mapstructure:"rain_from" yaml:"rain_from"`      // degrees, direction rain-bearing wind comes from
	// RainSpread is the circular standard deviation in degrees of the direction of
	// driving rain about RainFrom; 0 where it is not known, see RainSigma.
	RainSpread float64 `mapstructure:"rain_spread" yaml:"rain_spread,omitempty"`
	// WeatherFile is the path of an hourly weather file that replaces the hours
	// generated from these figures; the steady tier keeps to the figures.
	WeatherFile string `mapstructure:"weather_file" yaml:"weather_file,omitempty"`
	Source      string `mapstructure:"source" yaml:"source"`
}

// commonSpread stands for a spread that is not known: the middle of eight hourly
// records, 39° to 98°.
const commonSpread = 73

// RainSigma returns the spread of the direction of driving rain in degrees, > 0.
func (s *Station) RainSigma() float64 {
	if s.RainSpread > 0 {
		return s.RainSpread
	}
	return commonSpread
}
