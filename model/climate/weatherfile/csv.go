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

// The columns of a CSV file.
const (
	csvTheta = iota
	csvRH
	csvRHPct
	csvWind
	csvFrom
	csvRain
	csvGlobal
	csvDirect
	csvDiffuse
	csvSky
	csvCount
	csvTime = csvCount
)

var none = math.Inf(1)

var csvColumns = [csvCount]quantity{
	csvTheta:   {"temperature_c", "°C", -80, 70, none, 1},
	csvRH:      {"rh", "(a fraction; rh_pct for per cent)", 0, 1.1, none, 1},
	csvRHPct:   {"rh_pct", "%", 0, 110, none, 0.01},
	csvWind:    {"wind_m_s", "m/s", 0, 100, none, 1},
	csvFrom:    {"wind_from_deg", "degrees", 0, 360, none, 1},
	csvRain:    {"rain_mm", "mm", 0, 500, none, 1},
	csvGlobal:  {"global_w_m2", "W/m²", 0, 1500, none, 1},
	csvDirect:  {"direct_normal_w_m2", "W/m²", 0, 1500, none, 1},
	csvDiffuse: {"diffuse_w_m2", "W/m²", 0, 1500, none, 1},
	csvSky:     {"sky_temperature_c", "°C", -120, 70, none, 1},
}

const csvNames = "temperature_c, rh or rh_pct, wind_m_s, wind_from_deg, rain_mm, global_w_m2, direct_normal_w_m2, diffuse_w_m2, sky_temperature_c, time"

// ReadCSV reads an hourly table with a header line. The columns may stand in any
// order:
//
//	temperature_c                        required
//	rh (0–1) or rh_pct (0–100)           required
//	wind_m_s, wind_from_deg, rain_mm     each may lack: nil and a note
//	global_w_m2                          may lack: nil and a note
//	direct_normal_w_m2, diffuse_w_m2     may lack: split from global
//	sky_temperature_c                    may lack: estimated from global
//	time                                 may lack for whole years of 365 days
//
// Cells are parted by commas, or by semicolons, then also with decimal commas.
// Lines that begin with # may come before the header; "# latitude_deg: 51.5",
// likewise longitude_deg, time_zone_h (hours ahead of UTC of the table's clock),
// elevation_m and name, give the place. Splitting and the sky need the latitude;
// without the two others the clock counts as local mean solar time.
//
// A row is the mean (for rain, the sum) of the hour that begins at its time, or,
// where the first row says 01:00, ends at it. The rows begin with the year. With
// a time column ("2006-01-02 15:04", or with T and seconds) they must follow each
// other without holes; up to 50 years are read, leap days are dropped, and a last
// year that is not whole. Without one there are n·8760 rows, or 8784. Of several
// years the one is taken that is wet nine times in ten less: by the sum of
// wind·rain^(8/9), the year at the ninetieth percentile (nearest rank); without
// rain the first.
//
// Blank cells are missing and filled as for ReadEPW. Faults give an *Error each,
// up to five, joined.
func ReadCSV(name string, r io.Reader) (*hourly.Hours, *Place, error) {
	t := table{lines: newLines(name, r), place: &Place{Name: name}}
	t.read()
	if err := t.lines.err(); err != nil {
		return nil, nil, fmt.Errorf("reading %s: %w", name, err)
	}
	if len(t.faults) > 0 {
		return nil, nil, t.faults.joined()
	}
	h := t.hours()
	if len(t.faults) > 0 {
		return nil, nil, t.faults.joined()
	}
	return h, t.place, nil
}

// table is a CSV file as it is read.
type table struct {
	*lines
	place *Place
	faults
	mark    string // between cells
	decimal bool   // decimal commas
	at      [csvCount + 1]int
	zoned   bool // longitude or time zone given
	data    [csvCount]series
	rows    []int32 // line of each row
	cells   []string
	first   time.Time // of the first row, zero without a time column
	late    bool      // rows are stamped at the end of their hour
	leap    int
}

func (t *table) has(i int) bool { return t.at[i] >= 0 }

func (t *table) read() {
	for t.next() {
		if !isText(t.text) {
			t.add(t.fail("", "zero bytes", "text in UTF-8", "save the file as CSV in UTF-8"))
			return
		}
		if strings.HasPrefix(t.text, "#") {
			if !t.comment() {
				return
			}
			continue
		}
		break
	}
	if t.number == 0 || t.text == "" {
		t.add(Error{t.file, 0, "", "an empty file", "a header line and hourly rows", "give a file with columns " + csvNames})
		return
	}
	if !t.header() {
		return
	}
	for t.next() {
		if t.row() {
			return
		}
	}
}

// comment reads "# key: value" or "# key = value"; other comments pass.
func (t *table) comment() bool {
	s := strings.TrimSpace(strings.TrimLeft(t.text, "# "))
	i := strings.IndexAny(s, ":=")
	if i < 0 {
		return true
	}
	key, value := strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+1:])
	p := t.place
	for _, c := range []struct {
		key       string
		low, high float64
		to        *float64
	}{
		{"latitude_deg", -90, 90, &p.Latitude}, {"longitude_deg", -180, 180, &p.Longitude},
		{"time_zone_h", -14, 14, &p.TimeZone}, {"elevation_m", -1000, 9000, &p.Elevation},
	} {
		if !strings.EqualFold(key, c.key) {
			continue
		}
		v, err := strconv.ParseFloat(value, 64)
		if err != nil || !(v >= c.low && v <= c.high) {
			t.add(t.fail(c.key, value, fmt.Sprintf("a number from %g to %g", c.low, c.high), "correct the line"))
			return false
		}
		*c.to = v
		p.Located = p.Located || c.to == &p.Latitude
		t.zoned = t.zoned || c.to == &p.Longitude || c.to == &p.TimeZone
	}
	if strings.EqualFold(key, "name") && value != "" {
		p.Name = clean(value)
	}
	return true
}

// header finds the columns.
func (t *table) header() bool {
	t.mark = ","
	if strings.Contains(t.text, ";") {
		t.mark, t.decimal = ";", true
	}
	for i := range t.at {
		t.at[i] = -1
	}
	var unknown []string
	for at, cell := range cut(t.text, t.mark, nil) {
		i := 0
		for i < csvCount && !strings.EqualFold(cell, csvColumns[i].name) {
			i++
		}
		if i == csvCount && !strings.EqualFold(cell, "time") {
			if len(unknown) < 20 {
				unknown = append(unknown, short(clean(cell)))
			}
			continue
		}
		if t.has(i) {
			t.add(t.fail(cell, t.text, "each column once", "remove one of the two"))
			return false
		}
		t.at[i] = at
	}
	if !t.has(csvTheta) || t.has(csvRH) == t.has(csvRHPct) {
		t.add(t.fail("", t.text, "a header with temperature_c and either rh or rh_pct",
			"name the columns "+csvNames))
		return false
	}
	if len(unknown) > 0 {
		t.place.note("Columns not used: %s.", strings.Join(unknown, ", "))
	}
	return true
}
