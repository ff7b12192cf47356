package climate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

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
