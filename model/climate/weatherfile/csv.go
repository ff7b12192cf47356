package weatherfile

import (
	"math"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
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

// csvHeader reads the lines before the first row, and reports whether there is one.
// The columns may stand in any order:
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
// likewise longitude_deg and time_zone_h (hours ahead of UTC of the table's clock),
// give the place. Without the two others the clock counts as local mean solar time.
//
// A row is the mean (for rain, the sum) of the hour that begins at its time, or,
// where the first row says 01:00, ends at it: "2006-01-02 15:04", or with T and
// seconds. Without a time column there are n·8760 rows, or 8784.
func (f *file) csvHeader() bool {
	for strings.HasPrefix(f.text, "#") {
		if !f.comment() || !f.next() {
			return false
		}
	}
	if strings.Contains(f.text, ";") {
		f.mark = ";"
	}
	f.split()
	var unknown []string
	at := map[string]int{} // cell of each column
	for i, cell := range f.cells {
		name := strings.ToLower(cell)
		known := name == "time" || slices.ContainsFunc(csvColumns[:], func(c column) bool { return c.name == name })
		if _, twice := at[name]; twice {
			f.add(cell, f.text, "each column once", "remove one of the two")
			return false
		} else if known {
			at[name] = i
			f.width = max(f.width, i+1)
		} else if len(unknown) < 20 {
			if !utf8.ValidString(cell) {
				cell, _ = charmap.ISO8859_1.NewDecoder().String(cell) // every byte is a letter there
			}
			unknown = append(unknown, short(strings.TrimSpace(cell)))
		}
	}
	for _, c := range csvColumns {
		if i, there := at[c.name]; there {
			c.at = i
			f.use(c)
		}
	}
	if i, timed := at["time"]; timed {
		f.clock = f.timeColumn(i)
	}
	_, share := at["rh"]
	_, percent := at["rh_pct"]
	if f.name[theta] == "" || share == percent {
		f.add("", f.text, "a header with temperature_c and either rh or rh_pct", "name the columns "+csvNames)
		return false
	}
	if len(unknown) > 0 {
		f.place.note("Columns not used: %s.", strings.Join(unknown, ", "))
	}
	return f.next()
}

// comment reads "# key: value" or "# key = value"; other comments pass.
func (f *file) comment() bool {
	s := strings.TrimLeft(f.text, "# ")
	if i := strings.IndexAny(s, ":="); i >= 0 {
		for key, k := range placeKeys {
			if strings.EqualFold(strings.TrimSpace(s[:i]), k.name) {
				return f.locate(key, k.name, strings.TrimSpace(s[i+1:]))
			}
		}
	}
	return true
}

var layouts = []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02T15:04:05Z07:00"}

// timeColumn reads the wall clock in a cell; an offset is ignored.
func (f *file) timeColumn(cell int) clock {
	late := time.Duration(0) // 1 h where rows are stamped at the end of their hour
	return clock{"time", func() (time.Time, string, bool) {
		for _, l := range layouts {
			at, err := time.Parse(l, f.cells[cell])
			if err != nil {
				continue
			}
			if len(f.rows) == 0 && at.Hour() == 1 {
				late = time.Hour
				f.place.note("The first row is of 01:00: rows count as the hour that ends at their time.")
			}
			begins := time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), at.Second(), 0, time.UTC).Add(-late)
			return begins, f.cells[cell], true
		}
		return time.Time{}, f.cells[cell], false
	}, func(begins time.Time) string { return begins.Add(late).Format(layouts[0]) }}
}
