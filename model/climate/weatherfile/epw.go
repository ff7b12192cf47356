package weatherfile

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"wallsift/model/climate/hourly"
)

// Columns of an EPW data line, from 0.
const (
	epwYear, epwMonth, epwDay, epwHour = 0, 1, 2, 3
	epwMinColumns                      = 22 // up to the wind
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

// ReadEPW reads an EPW file of one year with one row an hour. Rows run from 1
// January, hour 1, to 31 December, hour 24, in the file's standard time; a leap
// day is dropped. Temperature, humidity and wind are bridged over gaps of up to
// 6 h, radiation over 3 days by the hour of another day. Humidity is taken from
// the dew point where it is missing, sky temperature from the infrared column,
// else from the cloud cover, else from the radiation. Rain that is missing or
// never falls gives a nil Rain and a note. The column is liquid precipitation by
// its definition. Up to twelve values of a column that are impossible count as missing
// and a note says so. Faults give an *Error each, up to five, joined.
func ReadEPW(name string, r io.Reader) (*hourly.Hours, *Place, error) {
	f := epwFile{file: newFile(name, r)}
	for _, c := range epwColumns {
		f.use(c)
	}
	f.read()
	return f.done(f.hours)
}

type epwFile struct{ file }

func (f *epwFile) hours() *hourly.Hours {
	if n := len(f.rows); n != hourly.HoursPerYear {
		f.add(Error{f.label, 0, "", fmt.Sprintf("%d hours", n), "8760 hours from 1 January to 31 December (a leap day apart)",
			"give a file of one whole year"})
		return nil
	}
	h := f.complete()
	if h != nil {
		f.light(h)
	}
	return h
}

func (f *epwFile) read() {
	if !f.next() || !isText(f.text) || !f.header() {
		if len(f.faults) == 0 && f.scan.Err() == nil {
			f.add(f.fail("", f.text, "an EPW file, which begins with LOCATION", "give an EPW file, or a CSV file by its reader"))
		}
		return
	}
	begun := false // the first row was seen
	for stop := false; !stop && f.next(); {
		f.split()
		_, err := strconv.Atoi(f.cells[0])
		if begun = begun || err == nil; begun {
			stop = f.row()
		} else {
			stop = !f.period() // a header line
		}
	}
}

// header reads the LOCATION line.
func (f *epwFile) header() bool {
	f.split()
	if !strings.EqualFold(f.cells[0], "LOCATION") {
		return false
	}
	if len(f.cells) < 10 {
		f.add(f.fail("", f.text, "LOCATION with ten fields: city, state, country, source, station, latitude, longitude, time zone, elevation",
			"restore the first line of the file"))
		return false
	}
	if city := clean(f.cells[1]); city != "" {
		f.place.Name = city
	}
	for i, key := range placeKeys {
		if at := 6 + i; !f.locate(key, fmt.Sprintf("%d (%s)", at+1, key), f.cells[at]) {
			return false
		}
	}
	return true
}

// period refuses files with several rows an hour.
func (f *epwFile) period() bool {
	if len(f.cells) > 2 && strings.EqualFold(f.cells[0], "DATA PERIODS") && f.cells[2] != "1" {
		f.add(f.fail("3 (records per hour)", f.cells[2], "1", "give a file with one row an hour"))
		return false
	}
	return true
}

// row reads a data line and reports whether to stop.
func (f *epwFile) row() (stop bool) {
	if len(f.cells) < epwMinColumns {
		return f.add(f.fail("", f.text, fmt.Sprintf("35 columns (at least %d), got %d", epwMinColumns, len(f.cells)), "restore the row"))
	}
	if len(f.rows) == leapHour && f.calendar(epwMonth) == 2 && f.calendar(epwDay) == 29 {
		f.leap++
		return f.leap > 24 && f.add(f.fail("3 (day)", "29", "24 rows of the leap day", "remove the rows that are doubled"))
	}
	if len(f.rows) >= hourly.HoursPerYear {
		f.add(f.fail("", f.text, "no row after 31 December", "give a file of one year"))
		return true
	}
	// 2001 has no leap day; the hours of EPW count from 1.
	at := time.Date(2001, 1, 1, len(f.rows), 0, 0, 0, time.UTC)
	if f.calendar(epwMonth) != int(at.Month()) || f.calendar(epwDay) != at.Day() || f.calendar(epwHour) != at.Hour()+1 {
		f.add(f.fail("2 to 4 (month, day, hour)", strings.Join(f.cells[epwMonth:epwHour+1], "/"),
			fmt.Sprintf("%d/%d hour %d", at.Month(), at.Day(), at.Hour()+1), "restore the order of the rows; none may be missing"))
		return true // every later row would be off as well
	}
	year, err := strconv.Atoi(f.cells[epwYear])
	if err != nil || len(f.rows) > 0 && year != f.place.Year {
		year = 0 // the months come from several
	}
	f.place.Year = year
	return f.values()
}

// calendar is one of the calendar columns, 0 where it is no number.
func (f *epwFile) calendar(at int) int {
	v, _ := strconv.ParseFloat(f.cells[at], 64) // some writers give 1.0
	if v != math.Trunc(v) || !(math.Abs(v) < 1e6) {
		return 0
	}
	return int(v)
}
