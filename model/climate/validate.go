package climate

import (
	"fmt"
	"math"
	"time"
)

// Fault is a figure of a row that cannot be.
type Fault struct {
	Key   string // field as configurations spell it, with the month from 0: rh[11]
	Value float64
	Want  string
}

// Error returns key, value and what was expected.
func (f Fault) Error() string { return fmt.Sprintf("%s: got %v, %s", f.Key, f.Value, f.Want) }

// Validate returns every way in which the figures of a row cannot go together, nil
// when there is none: one fault a series and rule, since a wrong unit makes twelve
// alike. What each may be by itself is for the configuration to say.
func Validate(s Station) []Fault {
	var faults []Fault
	rule := func(key string, values *Months, holds func(m int) bool, want func(m int) string) {
		var broken []int
		for m := range values {
			if !holds(m) { // as with NaN
				broken = append(broken, m)
			}
		}
		if len(broken) == 0 {
			return
		}
		m, more := broken[0], ""
		if len(broken) > 1 {
			more = " and in later months"
		}
		faults = append(faults, Fault{fmt.Sprintf("%s[%d]", key, m), values[m], want(m) + " in " + time.Month(m+1).String() + more})
	}
	rule("temp", &s.Temp, func(m int) bool { return s.TempMin[m] < s.Temp[m] && s.Temp[m] < s.TempMax[m] },
		func(m int) string {
			return fmt.Sprintf("expected between temp_min %g and temp_max %g", s.TempMin[m], s.TempMax[m])
		})
	rule("rain_days", &s.RainDays, func(m int) bool { return s.RainDays[m] <= float64(Days[m]) },
		func(m int) string { return fmt.Sprintf("expected at most the %d days", Days[m]) })
	rule("rain_days", &s.RainDays, func(m int) bool { return s.RainDays[m] <= s.Rain[m] },
		func(m int) string {
			return fmt.Sprintf("a rain day has 1 mm or more, but there is only %g mm of rain", s.Rain[m])
		})
	rule("sun", &s.Sun, func(m int) bool { return s.Sun[m] <= 0.85*extraterrestrial(s.Latitude, m)+1 },
		func(m int) string {
			return fmt.Sprintf("expected less than a clear sky lets through of %.0f W/m² above the air", extraterrestrial(s.Latitude, m))
		})
	return faults
}

// middle holds the day of the year whose declination stands for the month.
// Source: Duffie & Beckman, Solar Engineering of Thermal Processes, from memory.
var middle = [12]float64{17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344}

// extraterrestrial returns the mean of a month's radiation on a horizontal
// plane above the atmosphere, W/m². Source: Duffie & Beckman, equation 1.10.3;
// solar constant 1361 W/m².
func extraterrestrial(latitude float64, month int) float64 {
	n := middle[month]
	phi, delta := latitude*math.Pi/180, declination(n)
	sunset := math.Acos(max(-1, min(1, -math.Tan(phi)*math.Tan(delta))))
	g := solarConstant * (1 + 0.033*math.Cos(2*math.Pi*n/365))
	return g / math.Pi * (math.Cos(phi)*math.Cos(delta)*math.Sin(sunset) +
		sunset*math.Sin(phi)*math.Sin(delta))
}

const solarConstant = 1361 // W/m²

// declination of the sun in radians on day n of the year (Cooper 1969).
func declination(n float64) float64 {
	return 23.45 * math.Pi / 180 * math.Sin(2*math.Pi*(284+n)/365)
}
