// Package weatherfile reads an hourly year from a weather file: the open EPW
// format (EnergyPlus documentation, "Auxiliary Programs") or a table of the
// user's own. It checks every value, fills short gaps and says so, and refuses
// to guess what a file does not hold: such a quantity is nil and a note says
// what to do. Check then holds a year against physics and against the monthly
// figures of the station it is to stand for. The package refuses to open files and
// to know about walls.
package weatherfile

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
)

// Place is where and by which clock a file was made, and what was done to it: what
// an engine needs to place the sun over the hours. Longitude and TimeZone of zero
// mean local mean solar time as well as Greenwich.
type Place struct {
	Located   bool    // the file gives its latitude; else the place is that of the station
	Latitude  float64 // degrees north
	Longitude float64 // degrees east
	TimeZone  float64 // hours ahead of UTC of the file's clock
	// Notes say what was missing, filled, dropped or chosen, one sentence each.
	Notes []string
}

func (p *Place) note(format string, args ...any) {
	p.Notes = append(p.Notes, fmt.Sprintf(format, args...))
}

// Read reads a year from an EPW or a CSV file, told apart by the first line. The
// name labels errors. A file that does not say where it is of is taken to be of the
// station, by the clock of its longitude to the hour.
//
// A row is an hour. Rows begin with the year and follow each other without holes; up
// to 50 years are read, leap days are dropped, and a last year that is not whole. Of
// several years the one is taken that is wet nine times in ten less: by the sum of
// wind·rain^(8/9), the year at the ninetieth percentile (nearest rank); without rain
// the first.
//
// Temperature, humidity and wind are bridged over gaps of up to 6 h, radiation over
// 3 days by the hour of another day. Rain that is missing or never falls gives a nil
// Rain and a note. Up to twelve values of a column that are impossible count as
// missing and a note says so. Faults give an *Error each, up to five, joined.
func Read(name string, r io.Reader, s *climate.Station) (*hourly.Hours, *Place, error) {
	p := &Place{}
	f := file{faults: faults{file: name}, scan: bufio.NewScanner(r), mark: ",", place: p}
	f.scan.Buffer(make([]byte, 0, 4096), maxLine)
	f.table()
	if err := f.scan.Err(); err != nil {
		if errors.Is(err, bufio.ErrTooLong) {
			err = &Error{name, f.number + 1, "", "a very long line", "lines below 256 KiB", "check that the file is an EPW or CSV text file"}
		}
		return nil, nil, fmt.Errorf("reading %s: %w", name, err)
	}
	if len(f.list) == 0 {
		f.year()
	}
	if len(f.list) > 0 {
		return nil, nil, errors.Join(f.list...)
	}
	if !p.Located {
		p.Latitude, p.Longitude, p.TimeZone = s.Latitude, s.Longitude, math.Round(s.Longitude/15)
	} else if !f.zoned {
		p.note("No longitude_deg and time_zone_h: the clock counts as local mean solar time.")
	}
	return f.light(), p, nil
}

// The quantities that a file may hold.
const (
	theta = iota
	dew
	rh
	infrared
	sky
	global
	direct
	diffuse
	from
	wind
	cover
	rain
	duration
	quantities
)

type column struct {
	at         int // cell of a row, from 0
	quantity   int
	name, unit string
	low, high  float64
	missing    float64 // code from which on a value is missing; +Inf: none
	factor     float64 // to the unit of hourly.Hours
}

const (
	// maxLine bounds a line in bytes; real ones have a few hundred, comments of
	// EPW headers some thousand.
	maxLine = 1 << 18
	// maxYears bounds the rows that are kept.
	maxYears = 50
	perYear  = hourly.HoursPerYear
	// leapHour is the first hour of 29 February in a leap year.
	leapHour = 59 * 24
)

// file is a file of either format as it is read.
type file struct {
	faults
	scan    *bufio.Scanner
	text    string // of the line at hand
	mark    string // between its cells; with ";" there may be decimal commas
	cells   []string
	width   int // cells that a row must have
	clock   clock
	first   int // year of the first row
	place   *Place
	zoned   bool // longitude or time zone were given
	columns []column
	rows    []int32            // line of each row
	data    [quantities]series // nil for what the file has no column of
	name    [quantities]string // of the column
	odd     [quantities]int    // values outside their bounds
	leap    int                // rows of 29 February that were dropped
}

// clock tells when the hour of a row begins. read is nil where rows have no time;
// the year is 0 where they may be of several.
type clock struct {
	column string
	read   func() (begins time.Time, cell string, ok bool)
	tell   func(time.Time) string // as the file would write it
}

// table reads the header and the rows, up to a fault that ends them.
func (f *file) table() {
	if !f.next() {
		if len(f.list) == 0 {
			f.number = 0
			f.add("", "an empty file", "a header line and hourly rows", "give a file with columns "+csvNames)
		}
		return
	}
	header := f.csvHeader
	if f.split(); strings.EqualFold(f.cells[0], "LOCATION") {
		header = f.epwHeader
	}
	for more := header(); more && !f.row(); {
		more = f.next()
	}
}

// next moves to the next line that is not blank. It ends at the end of the text
// and at a line that is no text or too long.
func (f *file) next() bool {
	for f.scan.Scan() {
		f.number++
		b := f.scan.Bytes()
		if f.number == 1 {
			b = bytes.TrimPrefix(b, []byte("\ufeff"))
		}
		if bytes.IndexByte(b, 0) >= 0 { // UTF-16 or a binary file
			f.add("", "zero bytes", "text in UTF-8", "save the file as CSV in UTF-8")
			return false
		}
		if f.text = strings.TrimRight(string(b), " \t\r"); f.text != "" {
			return true
		}
	}
	return false
}

// split cuts the line into its cells; one may stand in double quotes but not hold
// the mark.
func (f *file) split() {
	f.cells = f.cells[:0]
	for cell := range strings.SplitSeq(f.text, f.mark) {
		cell = strings.TrimSpace(cell)
		if n := len(cell); n >= 2 && cell[0] == '"' && cell[n-1] == '"' {
			cell = strings.TrimSpace(cell[1 : n-1])
		}
		f.cells = append(f.cells, cell)
	}
}

func (f *file) use(c column) {
	f.columns = append(f.columns, c)
	f.name[c.quantity] = c.name
}

// placeKeys name what gives the place, in the order of an EPW header, with the most
// that it can be to either side of zero.
var placeKeys = [...]struct {
	name string
	most float64
}{{"latitude_deg", 90}, {"longitude_deg", 180}, {"time_zone_h", 14}}

// locate takes the value of a place key, which column names for an error.
func (f *file) locate(key int, column, value string) bool {
	v, err := strconv.ParseFloat(value, 64)
	if most := placeKeys[key].most; err != nil || !(math.Abs(v) <= most) {
		f.add(column, value, fmt.Sprintf("a number from %g to %g", -most, most), "correct the line")
		return false
	}
	*[...]*float64{&f.place.Latitude, &f.place.Longitude, &f.place.TimeZone}[key] = v
	f.place.Located = f.place.Located || key == 0
	f.zoned = f.zoned || key > 0
	return true
}

// row takes a line of the table and reports whether to stop.
func (f *file) row() (stop bool) {
	if strings.HasPrefix(f.text, "#") {
		return false
	}
	if f.split(); len(f.cells) < f.width {
		return f.add("", f.text, fmt.Sprintf("at least %d cells, got %d", f.width, len(f.cells)), "restore the row")
	}
	if len(f.rows) >= maxYears*perYear {
		f.add("", f.text, fmt.Sprintf("at most %d years", maxYears), "give fewer years")
		return true
	}
	if f.clock.read != nil {
		if ofLeapDay, ok := f.inOrder(); ofLeapDay || !ok {
			return !ok
		}
	}
	for i := range f.columns {
		c, cell := &f.columns[i], ""
		if c.at < len(f.cells) { // a cell that is not there is blank
			cell = f.cells[c.at]
		}
		if f.mark == ";" {
			cell = strings.Replace(cell, ",", ".", 1)
		}
		if f.value(c, cell) {
			return true
		}
	}
	f.rows = append(f.rows, int32(f.number))
	return false
}

// inOrder checks the time of a row against the hour that must come, and counts
// those of leap days.
func (f *file) inOrder() (ofLeapDay, ok bool) {
	const fix = "begin on 1 January and give one row for every hour, by one clock without summer time; none may be missing"
	at, cell, ok := f.clock.read()
	if !ok {
		f.add(f.clock.column, cell, `a time like "2006-01-02 15:04"`, fix)
		return false, false
	}
	n, year := len(f.rows), at.Year()
	if n%perYear == leapHour && at.Month() == time.February && at.Day() == 29 && at.Hour() == f.leap%24 && f.leap < 24*(n/perYear+1) {
		f.leap++
		return true, true
	}
	if n == 0 {
		f.first = year
	} else if year > 0 {
		year = f.first + n/perYear
	}
	due := time.Date(2001, 1, 1, n%perYear, 0, 0, 0, time.UTC) // a year without a leap day
	want := time.Date(year, due.Month(), due.Day(), due.Hour(), 0, 0, 0, time.UTC)
	if !at.Equal(want) {
		f.add(f.clock.column, cell, f.clock.tell(want), fix)
		return false, false // every later row would be off as well
	}
	return false, true
}

// mostOdd is the number of values of a column that may lie outside its bounds: they
// are taken for missing, since one hour should not stop a year. A choice.
const mostOdd = 12

// slipOf names the units that a column too large is likely in.
var slipOf = map[int]string{theta: "degrees Fahrenheit or kelvin", rh: "per cent", wind: "km/h", rain: "tenths of a millimetre",
	global: "kJ/m² or J/m²", direct: "kJ/m² or J/m²", diffuse: "kJ/m² or J/m²"}

// value appends a cell to its column in the unit of hourly.Hours, NaN where it is
// missing or odd, and reports whether to stop. A blank cell is missing.
func (f *file) value(c *column, cell string) (stop bool) {
	v, err := strconv.ParseFloat(cell, 64)
	number := err == nil && !strings.ContainsAny(cell, "xX_") && v-v == 0 // no infinity
	switch {
	case cell == "" || number && v >= c.missing:
		v = nan
	case number && v >= c.low && v <= c.high:
		v *= c.factor
	default:
		want, fix := fmt.Sprintf("a number from %g to %g %s", c.low, c.high, c.unit), "correct the value or the unit, or leave the cell blank"
		f.odd[c.quantity]++
		if n := f.odd[c.quantity]; !number || n > mostOdd {
			if number {
				want = fmt.Sprintf("%s in all but %d rows", want, mostOdd)
			}
			if slip := slipOf[c.quantity]; number && v > c.high && slip != "" {
				fix = "convert the column if it is in " + slip + ", or leave the cell blank"
			}
			if f.add(c.name, cell, want, fix) {
				return true
			}
		}
		v = nan
	}
	f.data[c.quantity] = append(f.data[c.quantity], v)
	return false
}

// Error is one fault of a file.
type Error struct {
	File   string
	Line   int    // from 1; 0 for the file as a whole
	Column string // name or number of the column, empty for the line as a whole
	Value  string // what stands there
	Want   string // what was expected
	Fix    string // what to do
}

// Error returns file, line, column, value, what was expected, and the fix.
func (e *Error) Error() string {
	where := e.File
	if e.Line > 0 {
		where += fmt.Sprintf(", line %d", e.Line)
	}
	if e.Column != "" {
		where += ", column " + e.Column
	}
	return fmt.Sprintf("%s: got %q, expected %s; %s", where, short(e.Value), e.Want, e.Fix)
}

// short keeps a long cell from filling the screen.
func short(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// maxFaults is the number of faults that are told at once.
const maxFaults = 5

// faults gathers what is wrong with a file.
type faults struct {
	file   string
	number int // of the line at hand, from 1; 0 for none
	list   []error
}

// add notes a fault of the line at hand and reports whether there are enough.
func (f *faults) add(column, value, want, fix string) bool {
	f.list = append(f.list, &Error{f.file, f.number, column, value, want, fix})
	return len(f.list) >= maxFaults
}
