// Package climate turns a table of reference stations into what the wall
// models need: monthly means, driving rain, frost days, degree-hours, and a
// seeded hourly year.
package climate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

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

// Days holds the length of each month, February with 28.
var Days = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// YearMean returns the mean of a monthly series, each month weighted by its
// days.
func YearMean(m Months) float64 {
	sum := 0.0
	for i, v := range m {
		sum += v * float64(Days[i])
	}
	return sum / 365
}

// YearSum returns the sum of a monthly series.
func YearSum(m Months) float64 {
	sum := 0.0
	for _, v := range m {
		sum += v
	}
	return sum
}

// HighSun reports whether the month (0–11) lies in the warm half of the year:
// April to September north of the equator, October to March south of it.
func HighSun(latitude float64, month int) bool {
	return (month >= 3 && month <= 8) == (latitude >= 0)
}

// FirstDay is the first day (0–364) of each month and of the next year, MonthOf the
// month (0–11) of each day.
var FirstDay, MonthOf = func() (first [13]int, month [365]int) {
	for m, n := range Days {
		first[m+1] = first[m] + n
		for d := first[m]; d < first[m+1]; d++ {
			month[d] = m
		}
	}
	return first, month
}()

// Liquid share of precipitation: half at a monthly mean of −2 °C, because wet
// winter days are milder than the month, with a spread of 5 K. Both are choices
// of this tool from memory of coastal and inland stations; they understate
// winter rain where warm storms cross a cold coast (Nova Scotia: about a fifth
// here, over a half recorded, from memory).
const (
	liquidHalf  = -2 // °C
	liquidSigma = 5  // K
)

// LiquidShare returns the estimated share (0–1) of a month's precipitation that
// falls as rain, for the monthly mean temperature in °C. An estimate.
func LiquidShare(temp float64) float64 {
	return distuv.UnitNormal.CDF((temp - liquidHalf) / liquidSigma)
}

// Fault is a figure of a row that cannot be.
type Fault struct {
	Key   string // field as configurations spell it, with the month from 0: rh[11]
	Value float64
	Want  string
}

// Validate returns every way in which the figures of a row cannot go together, none
// when there is none: one fault a series and rule, since a wrong unit makes twelve
// alike. What each may be by itself is for the configuration to say.
func Validate(s Station) []Fault {
	const later = " and in later months"
	var faults [4]Fault // of the rules below
	for m := range 12 {
		top := extraterrestrial(s.Latitude, m)
		for i, rule := range []struct {
			key   string
			value float64
			holds bool // not so with NaN
			want  string
		}{
			{"temp", s.Temp[m], s.TempMin[m] < s.Temp[m] && s.Temp[m] < s.TempMax[m], fmt.Sprintf("expected between temp_min %g and temp_max %g", s.TempMin[m], s.TempMax[m])},
			{"rain_days", s.RainDays[m], s.RainDays[m] <= float64(Days[m]), fmt.Sprintf("expected at most the %d days", Days[m])},
			{"rain_days", s.RainDays[m], s.RainDays[m] <= s.Rain[m], fmt.Sprintf("a rain day has 1 mm or more, but there is only %g mm of rain", s.Rain[m])},
			{"sun", s.Sun[m], s.Sun[m] <= 0.85*top+1, fmt.Sprintf("expected less than a clear sky lets through of %.0f W/m² above the air", top)},
		} {
			switch f := &faults[i]; {
			case rule.holds:
			case f.Key == "":
				*f = Fault{fmt.Sprintf("%s[%d]", rule.key, m), rule.value, rule.want + " in " + time.Month(m+1).String()}
			case !strings.HasSuffix(f.Want, later):
				f.Want += later
			}
		}
	}
	return slices.DeleteFunc(faults[:], func(f Fault) bool { return f.Key == "" })
}

// middle holds the day of the year whose declination stands for the month.
// Source: Duffie & Beckman, Solar Engineering of Thermal Processes, from memory.
var middle = [12]float64{17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344}

// extraterrestrial returns the mean of a month's radiation on a horizontal
// plane above the atmosphere, W/m². Source: Duffie & Beckman, equation 1.10.3;
// solar constant 1361 W/m², declination of the sun after Cooper 1969.
func extraterrestrial(latitude float64, month int) float64 {
	n := middle[month]
	phi, delta := latitude*math.Pi/180, 23.45*math.Pi/180*math.Sin(2*math.Pi*(284+n)/365)
	sunset := math.Acos(max(-1, min(1, -math.Tan(phi)*math.Tan(delta))))
	g := 1361 * (1 + 0.033*math.Cos(2*math.Pi*n/365))
	return g / math.Pi * (math.Cos(phi)*math.Cos(delta)*math.Sin(sunset) +
		sunset*math.Sin(phi)*math.Sin(delta))
}
