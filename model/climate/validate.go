package climate

import (
	"fmt"
	"math"
)

// monthNames label errors.
var monthNames = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// bounds of a monthly figure. They are wide: they catch a wrong unit or a
// slipped digit, not an unusual place.
type bounds struct {
	field, unit string
	low, high   float64
	get         func(*Station) *Months
}

var monthly = [...]bounds{
	{"temp", "°C", -60, 45, func(s *Station) *Months { return &s.Temp }},
	{"temp_min", "°C", -65, 40, func(s *Station) *Months { return &s.TempMin }},
	{"temp_max", "°C", -55, 55, func(s *Station) *Months { return &s.TempMax }},
	{"rh", "(a fraction, not per cent)", 0.05, 1, func(s *Station) *Months { return &s.RH }},
	{"wind", "m/s", 0, 25, func(s *Station) *Months { return &s.Wind }},
	{"rain", "mm", 0, 2500, func(s *Station) *Months { return &s.Rain }},
	{"rain_days", "days", 0, 31, func(s *Station) *Months { return &s.RainDays }},
	{"sun", "W/m²", 0, 400, func(s *Station) *Months { return &s.Sun }},
}

// Validate returns every way in which the row is physically impossible or
// implausible, nil when there is none. It judges figures, not their truth.
func Validate(s Station) []error {
	var errs []error
	fail := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	place := []struct {
		field     string
		v         float64
		low, high float64
	}{
		{"latitude", s.Latitude, -90, 90},
		{"longitude", s.Longitude, -180, 180},
		{"elevation", s.Elevation, -450, 6000},
		{"rain_from", s.RainFrom, 0, 360},
		{"rain_spread", s.RainSpread, 0, 180},
	}
	for _, p := range place {
		if !(p.v >= p.low && p.v <= p.high) { // written so that NaN fails
			fail("%s: %v is outside %v to %v", p.field, p.v, p.low, p.high)
		}
	}
	for _, b := range monthly {
		for m, v := range b.get(&s) {
			if !(v >= b.low && v <= b.high) {
				fail("%s, %s: %v is outside %v to %v %s", b.field, monthNames[m], v, b.low, b.high, b.unit)
			}
		}
	}
	for m := range 12 {
		if !(s.TempMin[m] < s.Temp[m] && s.Temp[m] < s.TempMax[m]) {
			fail("temp, %s: expected temp_min < temp < temp_max, got %v, %v, %v",
				monthNames[m], s.TempMin[m], s.Temp[m], s.TempMax[m])
		}
		if s.RainDays[m] > float64(Days[m]) {
			fail("rain_days, %s: %v is more than the %d days of the month", monthNames[m], s.RainDays[m], Days[m])
		}
		// A rain day holds at least 1 mm; days with less may add a little more.
		if s.Rain[m] < s.RainDays[m] {
			fail("rain, %s: %v mm cannot make %v days with at least 1 mm", monthNames[m], s.Rain[m], s.RainDays[m])
		}
		if top := extraterrestrial(s.Latitude, m); s.Sun[m] > 0.85*top+1 {
			fail("sun, %s: %v W/m² is more than a clear sky lets through (%.0f W/m² above the air)",
				monthNames[m], s.Sun[m], top)
		}
	}
	return errs
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
