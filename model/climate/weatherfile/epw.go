package weatherfile

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// epwColumns are the series taken from an EPW line, with the column from 0. Missing
// codes as in the EnergyPlus documentation; bounds of what the Earth has seen, rounded
// outwards, wider where stations have passed those of the format.
var epwColumns = [...]column{
	{6, theta, "7 (dry bulb)", "°C", -80, 60, 99.9, 1},
	{7, dew, "8 (dew point)", "°C", -90, 60, 99.9, 1},
	{8, rh, "9 (relative humidity)", "%", 0, 110, 999, 0.01},
	{12, infrared, "13 (horizontal infrared)", "W/m²", 0, 1000, 9999, 1},
	{13, global, "14 (global horizontal)", "W/m²", 0, 1500, 9999, 1},
	{14, direct, "15 (direct normal)", "W/m²", 0, 1500, 9999, 1},
	{15, diffuse, "16 (diffuse horizontal)", "W/m²", 0, 1500, 9999, 1},
	{20, from, "21 (wind direction)", "degrees", 0, 360, 999, 1},
	{21, wind, "22 (wind speed)", "m/s", 0, 100, 999, 1},
	{22, cover, "23 (total sky cover)", "tenths", 0, 10, 99, 0.1},
	{33, rain, "34 (liquid precipitation depth)", "mm", 0, 300, 999, 1},
	{34, duration, "35 (liquid precipitation duration)", "h", 0, 98, 99, 1},
}

// epwHeader reads the lines before the first row, and reports whether there is one.
// Rows run from 1 January, hour 1, in the file's standard time. Humidity is taken from
// the dew point where it is missing, sky temperature from the infrared column, else
// from the cloud cover, else from the radiation. The column of rain is liquid
// precipitation by its definition.
func (f *file) epwHeader() bool {
	if len(f.cells) < 10 {
		f.add("", f.text, "LOCATION with ten fields: city, state, country, source, station, latitude, longitude, time zone, elevation",
			"restore the first line of the file")
		return false
	}
	for i, k := range placeKeys {
		if at := 6 + i; !f.locate(i, fmt.Sprintf("%d (%s)", at+1, k.name), f.cells[at]) {
			return false
		}
	}
	for _, c := range epwColumns {
		f.use(c)
	}
	f.width = 22 // up to the wind
	f.clock = clock{"2 to 4 (month, day, hour)", f.calendar, func(begins time.Time) string {
		return fmt.Sprintf("%d/%d hour %d", begins.Month(), begins.Day(), begins.Hour()+1)
	}}
	for f.next() {
		f.split()
		if _, err := strconv.Atoi(f.cells[0]); err == nil {
			return true
		}
		if len(f.cells) > 2 && strings.EqualFold(f.cells[0], "DATA PERIODS") && f.cells[2] != "1" {
			f.add("3 (records per hour)", f.cells[2], "1", "give a file with one row an hour")
			break
		}
	}
	return false
}

// calendar reads month, day and hour, which counts from 1. The months may come from
// several years.
func (f *file) calendar() (begins time.Time, cell string, ok bool) {
	var v [3]int
	for i := range v {
		x, _ := strconv.ParseFloat(f.cells[1+i], 64) // some writers give 1.0
		if v[i] = int(x); float64(v[i]) != x {
			v[i] = 0
		}
	}
	return time.Date(0, time.Month(v[0]), v[1], v[2]-1, 0, 0, 0, time.UTC), strings.Join(f.cells[1:4], "/"), true
}
