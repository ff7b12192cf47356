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
	"strconv"
	"strings"

	"wallsift/model/climate/hourly"
)

// Place is where and by which clock a file was made, and what was done to it.
// Latitude, Longitude and TimeZone are what an engine needs to place the sun over
// the hours; Longitude and TimeZone of zero mean local mean solar time as well as
// Greenwich.
type Place struct {
	Name string
	// Located says that the file gives its latitude. Without it the sun of the
	// hours cannot be placed; the caller may know better.
	Located   bool
	Latitude  float64 // degrees north
	Longitude float64 // degrees east
	TimeZone  float64 // hours ahead of UTC of the file's clock
	Elevation float64 // m
	Year      int     // the year taken from the file, 0 where it names none or mixes several
	// Notes say what was missing, filled, dropped or chosen, one sentence each.
	Notes []string
}

func (p *Place) note(format string, args ...any) {
	p.Notes = append(p.Notes, fmt.Sprintf(format, args...))
}

// Read reads a year from an EPW or a CSV file, told apart by the first line. The
// name only labels errors and notes. See ReadEPW and ReadCSV.
func Read(name string, r io.Reader) (*hourly.Hours, *Place, error) {
	b := bufio.NewReaderSize(r, 4096)
	head, _ := b.Peek(64) // a shorter file gives what it has
	head = bytes.TrimPrefix(head, []byte("\ufeff"))
	head = bytes.TrimLeft(head, " \t\r\n\"")
	if len(head) >= 8 && bytes.EqualFold(head[:8], []byte("LOCATION")) {
		return ReadEPW(name, b)
	}
	return ReadCSV(name, b)
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

// column is a column of numbers.
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
	maxRows  = maxYears * 8784
)

// file is what both formats share while they are read.
type file struct {
	faults
	label   string // of the file, for errors
	scan    *bufio.Scanner
	number  int    // of the line at hand, from 1
	text    string // of the line
	mark    string // between its cells
	cells   []string
	decimal bool // decimal commas
	place   *Place
	columns []column
	rows    []int32            // line of each row
	data    [quantities]series // nil for what the file has no column of
	name    [quantities]string // of the column
	odd     [quantities]int    // values outside their bounds
	leap    int                // rows of 29 February that were dropped
	zoned   bool               // longitude or time zone were given
}

func newFile(name string, r io.Reader) file {
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, 0, 4096), maxLine)
	return file{label: name, scan: s, mark: ",", place: &Place{Name: name}}
}

// next moves to the next line that is not blank. It ends at the end of the text
// and at a line that is no text or too long, which done tells.
func (f *file) next() bool {
	for f.scan.Scan() {
		f.number++
		b := f.scan.Bytes()
		if f.number == 1 {
			b = bytes.TrimPrefix(b, []byte("\ufeff"))
		}
		f.text = strings.TrimRight(string(b), " \t\r")
		if f.text != "" {
			return true
		}
	}
	return false
}

// fail is a fault of the line at hand.
func (f *file) fail(column, value, want, fix string) Error {
	return Error{f.label, f.number, column, value, want, fix}
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

// use takes a column of the file.
func (f *file) use(c column) {
	f.columns = append(f.columns, c)
	f.name[c.quantity] = c.name
}

// values takes the cells of a row and reports whether to stop. One that is not there
// is blank.
func (f *file) values() (stop bool) {
	for i := range f.columns {
		c, cell := &f.columns[i], ""
		if c.at < len(f.cells) {
			cell = f.cells[c.at]
		}
		if f.decimal {
			cell = strings.Replace(cell, ",", ".", 1)
		}
		if f.value(c, cell) {
			return true
		}
	}
	f.rows = append(f.rows, int32(f.number))
	return false
}

// placeKeys name what gives the place, in the order of an EPW header.
var placeKeys = [...]string{"latitude_deg", "longitude_deg", "time_zone_h", "elevation_m"}

// locate takes one of placeKeys, which column names for an error.
func (f *file) locate(key, column, value string) bool {
	low, high, to := -90.0, 90.0, &f.place.Latitude
	switch key {
	case "longitude_deg":
		low, high, to = -180, 180, &f.place.Longitude
	case "time_zone_h":
		low, high, to = -14, 14, &f.place.TimeZone
	case "elevation_m":
		low, high, to = -1000, 9999.9, &f.place.Elevation
	}
	v, err := strconv.ParseFloat(value, 64)
	if err != nil || !(v >= low && v <= high) {
		f.add(f.fail(column, value, fmt.Sprintf("a number from %g to %g", low, high), "correct the line"))
		return false
	}
	*to = v
	f.place.Located = f.place.Located || key == "latitude_deg"
	f.zoned = f.zoned || key == "longitude_deg" || key == "time_zone_h"
	return true
}

// done hands over what was read, or why it could not be.
func (f *file) done(hours func() *hourly.Hours) (*hourly.Hours, *Place, error) {
	err := f.scan.Err()
	if errors.Is(err, bufio.ErrTooLong) {
		err = &Error{f.label, f.number + 1, "", "a very long line", "lines below 256 KiB", "check that the file is an EPW or CSV text file"}
	}
	if err != nil {
		return nil, nil, fmt.Errorf("reading %s: %w", f.label, err)
	}
	var h *hourly.Hours
	if len(f.faults) == 0 {
		h = hours()
	}
	if len(f.faults) > 0 {
		return nil, nil, f.joined()
	}
	return h, f.place, nil
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
			if f.add(f.fail(c.name, cell, want, fix)) {
				return true
			}
		}
		v = nan
	}
	f.data[c.quantity] = append(f.data[c.quantity], v)
	return false
}
