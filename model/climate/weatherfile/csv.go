package weatherfile

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"wallsift/model/climate/hourly"
)

var none = math.Inf(1)

// csvColumns are those of a CSV file; the header says in which cell. Time stands apart.
var csvColumns = [...]column{
	{0, theta, "temperature_c", "°C", -80, 60, none, 1},
	{0, rh, "rh", "(a fraction; rh_pct for per cent)", 0, 1.1, none, 1},
	{0, rh, "rh_pct", "%", 0, 110, none, 0.01},
	{0, wind, "wind_m_s", "m/s", 0, 100, none, 1},
	{0, from, "wind_from_deg", "degrees", 0, 360, none, 1},
	{0, rain, "rain_mm", "mm", 0, 300, none, 1},
	{0, global, "global_w_m2", "W/m²", 0, 1500, none, 1},
	{0, direct, "direct_normal_w_m2", "W/m²", 0, 1500, none, 1},
	{0, diffuse, "diffuse_w_m2", "W/m²", 0, 1500, none, 1},
	{0, sky, "sky_temperature_c", "°C", -120, 60, none, 1},
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
// Blank cells are missing and filled as for ReadEPW, whose word on impossible values
// holds as well. Faults give an *Error each, up to five, joined.
func ReadCSV(name string, r io.Reader) (*hourly.Hours, *Place, error) {
	t := table{file: newFile(name, r)}
	t.read()
	return t.done(t.hours)
}

// table is a CSV file as it is read.
type table struct {
	file
	width  int           // cells that a row must have
	timed  bool          // there is a time column,
	timeAt int           // in this cell
	first  time.Time     // of the first row, zero without a time column
	late   time.Duration // 1 h where rows are stamped at the end of their hour
}

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
		t.add(Error{t.label, 0, "", "an empty file", "a header line and hourly rows", "give a file with columns " + csvNames})
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
	for _, k := range placeKeys {
		if strings.EqualFold(key, k) && !t.locate(k, k, value) {
			return false
		}
	}
	if strings.EqualFold(key, "name") && value != "" {
		t.place.Name = clean(value)
	}
	return true
}

// header finds the columns.
func (t *table) header() bool {
	if strings.Contains(t.text, ";") {
		t.mark, t.decimal = ";", true
	}
	t.split()
	var unknown []string
	at := map[string]int{} // cell of each column
	for i, cell := range t.cells {
		name := strings.ToLower(cell)
		known := name == "time" || slices.ContainsFunc(csvColumns[:], func(c column) bool { return c.name == name })
		if _, twice := at[name]; twice {
			t.add(t.fail(cell, t.text, "each column once", "remove one of the two"))
			return false
		} else if known {
			at[name] = i
		} else if len(unknown) < 20 {
			unknown = append(unknown, short(clean(cell)))
		}
	}
	for _, c := range csvColumns {
		if i, there := at[c.name]; there {
			c.at = i
			t.use(c)
			t.width = max(t.width, i+1)
		}
	}
	t.timeAt, t.timed = at["time"]
	t.width = max(t.width, t.timeAt+1)
	_, share := at["rh"]
	_, percent := at["rh_pct"]
	if t.name[theta] == "" || share == percent {
		t.add(t.fail("", t.text, "a header with temperature_c and either rh or rh_pct",
			"name the columns "+csvNames))
		return false
	}
	if len(unknown) > 0 {
		t.place.note("Columns not used: %s.", strings.Join(unknown, ", "))
	}
	return true
}

// row reads a line of the table and reports whether to stop.
func (t *table) row() (stop bool) {
	if strings.HasPrefix(t.text, "#") {
		return false
	}
	if t.split(); len(t.cells) < t.width {
		return t.add(t.fail("", t.text, fmt.Sprintf("at least %d cells, got %d", t.width, len(t.cells)), "restore the row"))
	}
	if len(t.rows)+t.leap >= maxRows {
		t.add(t.fail("", t.text, fmt.Sprintf("at most %d years", maxYears), "give fewer years"))
		return true
	}
	if t.timed {
		drop, stop := t.clock()
		if drop || stop {
			return stop
		}
	}
	return t.values()
}

var layouts = []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02T15:04:05Z07:00"}

// clock checks the time of a row against the one that must come and reports
// whether the row is of a leap day, or whether to stop.
func (t *table) clock() (drop, stop bool) {
	cell := t.cells[t.timeAt]
	const fix = "give one row for every hour, by one clock without summer time"
	at, ok := parseTime(cell)
	if !ok {
		t.add(t.fail("time", cell, `a time like "2006-01-02 15:04"`, fix))
		return false, true
	}
	n := len(t.rows) + t.leap
	if n == 0 && at.Hour() == 1 {
		t.late = time.Hour
		t.place.note("The first row is of 01:00: rows count as the hour that ends at their time.")
	}
	begin := at.Add(-t.late)
	if n == 0 {
		t.first = begin
		if !begin.Equal(time.Date(begin.Year(), 1, 1, 0, 0, 0, 0, time.UTC)) {
			t.add(t.fail("time", cell, "1 January, 00:00 (or 01:00 for the end of the hour)", "begin with a whole year"))
			return false, true
		}
	}
	if want := t.first.Add(time.Duration(n) * time.Hour); !begin.Equal(want) {
		t.add(t.fail("time", cell, want.Add(t.late).Format(layouts[0]), fix))
		return false, true
	}
	if begin.Month() == time.February && begin.Day() == 29 {
		t.leap++
		return true, false
	}
	return false, false
}

// parseTime reads the wall clock of a time; an offset is ignored.
func parseTime(s string) (time.Time, bool) {
	for _, l := range layouts {
		if at, err := time.Parse(l, s); err == nil {
			return time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), at.Second(), 0, time.UTC), true
		}
	}
	return time.Time{}, false
}

// hours cuts the rows into years, fills gaps, and takes one year.
func (t *table) hours() *hourly.Hours {
	n := len(t.rows)
	if !t.timed && n == perYear+24 {
		for q, s := range t.data {
			if s != nil {
				t.data[q] = slices.Delete(s, leapHour, leapHour+24)
			}
		}
		t.rows = slices.Delete(t.rows, leapHour, leapHour+24)
		t.leap, n = 24, perYear
	}
	years := n / perYear
	if rest := n % perYear; years == 0 || rest != 0 && !t.timed {
		want, fix := "n·8760 rows, or 8784", "give whole years, or add a time column"
		if t.timed {
			want, fix = "a whole year of hourly rows", "give 8760 rows or more from 1 January"
		}
		t.add(Error{t.label, t.number, "", fmt.Sprintf("%d rows (leap days apart)", n), want, fix})
		return nil
	} else if rest != 0 {
		t.place.note("The last %d hours are no whole year and were dropped.", rest)
	}
	for q, s := range t.data {
		if s != nil {
			t.data[q] = s[:years*perYear]
		}
	}
	h := t.complete()
	if h == nil {
		return nil
	}
	t.choose(h, years)
	if t.place.Located && !t.zoned {
		t.place.note("No longitude_deg and time_zone_h: the clock counts as local mean solar time.")
	}
	t.light(h)
	return h
}

const (
	perYear = hourly.HoursPerYear
	// leapHour is the first hour of 29 February in a leap year.
	leapHour = 59 * 24
)

// percentile of the years by driving rain that is taken.
const percentile = 0.9

// choose keeps one year.
func (t *table) choose(h *hourly.Hours, years int) {
	take := 0
	if years > 1 && h.Rain != nil {
		order := make([]int, years)
		driving := make([]float64, years)
		for y := range years {
			order[y] = y
			for k := y * perYear; k < (y+1)*perYear; k++ {
				wind := 1.0
				if h.Wind != nil {
					wind = h.Wind[k]
				}
				driving[y] += wind * math.Pow(h.Rain[k], 8.0/9)
			}
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(driving[a], driving[b]) })
		take = order[int(math.Ceil(percentile*float64(years)))-1]
	}
	if t.timed {
		t.place.Year = t.first.Year() + take
	}
	if years > 1 {
		why := "it has no rain to choose by"
		if h.Rain != nil {
			why = "its driving rain stands at the ninetieth percentile"
		}
		t.place.note("Year %d of %d was taken: %s.", take+1, years, why)
	}
	for _, v := range []*[]float64{&h.Theta, &h.RH, &h.Wind, &h.WindFrom, &h.Rain, &h.DirectNormal, &h.Diffuse, &h.Global, &h.SkyTheta} {
		if *v != nil {
			*v = slices.Clone((*v)[take*perYear : (take+1)*perYear])
		}
	}
}
