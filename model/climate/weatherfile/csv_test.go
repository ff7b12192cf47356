package weatherfile_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

func near(a, b, allowed float64) bool { return math.Abs(a-b) <= allowed }

func round4(v float64) float64 { return math.Round(v*1e4) / 1e4 }

func readCSV(t *testing.T, text string) (*hourly.Hours, *weatherfile.Place) {
	t.Helper()
	h, p, err := weatherfile.Read("own.csv", strings.NewReader(text), &farOff)
	if err != nil {
		t.Fatal(err)
	}
	return h, p
}

const place = "# latitude_deg: 51.48\n# longitude_deg = 0\n# time_zone_h: 0\n# name: Invented Place\n"

// farOff is the station that files are read for; no file lies there.
var farOff = climate.Station{Latitude: 51.2, Longitude: -37.6}

func TestCSVGivesBackTheYear(t *testing.T) {
	want := london()
	decimal := func(c string, k int) string { return strings.Replace(londonCell(c, k), ".", ",", 1) }
	percent := []string{"global_w_m2", "rh_pct", "temperature_c", "wind_m_s", "wind_from_deg", "rain_mm"}
	for name, text := range map[string]string{
		"plain":          csvText(place, ",", fullColumns, 8760, londonCell),
		"decimal commas": csvText(place, ";", percent, 8760, decimal),
		"byte order":     "\ufeff" + csvText(place, ",", fullColumns, 8760, londonCell),
		"all columns":    csvText("", ",", append(fullColumns, "direct_normal_w_m2", "diffuse_w_m2", "sky_temperature_c"), 8760, londonCell),
	} {
		h, p := readCSV(t, text)
		same(t, name+", temperature", h.Theta, want.Theta, 1e-4)
		same(t, name+", humidity", h.RH, want.RH, 1e-4)
		same(t, name+", rain", h.Rain, want.Rain, 1e-4)
		same(t, name+", direction", h.WindFrom, want.WindFrom, 1e-4)
		same(t, name+", direct", h.DirectNormal, want.DirectNormal, 1)
		same(t, name+", diffuse", h.Diffuse, want.Diffuse, 0.5)
		if len(h.SkyTheta) != 8760 {
			t.Errorf("%s: no sky", name)
		}
		if name == "plain" && (!p.Located || p.Latitude != 51.48) {
			t.Errorf("place %+v", p)
		}
	}
}

func TestCSVWithoutPlace(t *testing.T) {
	h, p := readCSV(t, csvText("", ",", fullColumns, 8760, londonCell))
	if p.Located || p.Latitude != farOff.Latitude || p.Longitude != farOff.Longitude || p.TimeZone != -3 {
		t.Errorf("not the place of the station: %+v", p)
	}
	if h.Diffuse == nil || h.SkyTheta == nil {
		t.Error("sun or sky is not made up for")
	}
	h, p = readCSV(t, csvText("", ",", []string{"rh", "temperature_c"}, 8760, londonCell))
	if h.Rain != nil || h.Wind != nil || h.WindFrom != nil || h.Global != nil || len(p.Notes) < 4 {
		t.Errorf("made up what the file lacks; notes %q", p.Notes)
	}
}

// stamped gives rows a time column from the start of a year; mark shifts it.
func stamped(year, rows int, shift time.Duration, cell func(string, int) string) string {
	start := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC).Add(shift)
	return csvText(place, ",", append([]string{"time"}, fullColumns...), rows, func(c string, k int) string {
		if c == "time" {
			return start.Add(time.Duration(k) * time.Hour).Format("2006-01-02 15:04")
		}
		return cell(c, k)
	})
}

func TestCSVLeapYear(t *testing.T) {
	// Rain only on 29 February and 1 March tells which day was dropped.
	cell := func(c string, k int) string {
		if c == "rain_mm" {
			return fmt.Sprint(map[int]int{59: 9, 60: 3}[k/24])
		}
		return londonCell(c, k)
	}
	plain := csvText("", ",", fullColumns, 8784, cell)
	for name, text := range map[string]string{"rows": plain, "time": stamped(2020, 8784, 0, cell), "end of hour": stamped(2020, 8784, time.Hour, cell)} {
		h, p := readCSV(t, text)
		if len(h.Theta) != 8760 || h.Rain[59*24] != 3 || h.Rain[60*24] != 0 || !hasNote(p.Notes, "29 February") {
			t.Errorf("%s: %d hours, rain %v then %v, notes %q", name, len(h.Theta), h.Rain[59*24], h.Rain[60*24], p.Notes)
		}
	}
}

// Ten years with rain times 1 to 10, shuffled: the ninth by rain is taken.
func TestCSVChoosesWetYear(t *testing.T) {
	factor := []float64{3, 7, 1, 10, 5, 9, 2, 8, 4, 6}
	text := csvText("", ",", fullColumns, 10*8760, func(c string, k int) string {
		if c == "rain_mm" {
			return fmt.Sprintf("%.4f", factor[k/8760]*london().Rain[k%8760])
		}
		return londonCell(c, k)
	})
	h, p := readCSV(t, text)
	sum, want := 0.0, 0.0
	for k := range h.Rain {
		sum += h.Rain[k]
		want += 9 * london().Rain[k]
	}
	if !near(sum, want, 1) || !hasNote(p.Notes, "Year 6 of 10") {
		t.Errorf("%.0f mm, expected %.0f; notes %q", sum, want, p.Notes)
	}
}

func TestCSVFillsGaps(t *testing.T) {
	h, p := readCSV(t, csvText(place, ",", fullColumns, 8760, func(c string, k int) string {
		if k >= 4000 && k < 4006 || c == "rain_mm" && k < 3 {
			return ""
		}
		return londonCell(c, k)
	}))
	if math.IsNaN(h.Theta[4003]) || !hasNote(p.Notes, "temperature_c: 6 missing hours were bridged") || !hasNote(p.Notes, "count as dry") {
		t.Errorf("notes %q", p.Notes)
	}
	for _, v := range [][]float64{h.Theta, h.RH, h.Wind, h.WindFrom, h.Rain, h.Global, h.Diffuse, h.DirectNormal, h.SkyTheta} {
		for k, x := range v {
			if math.IsNaN(x) {
				t.Fatalf("hour %d is still missing", k)
			}
		}
	}
}

// A hot hour does not stop a year: what cannot be is missing, and is told.
func TestCSVImpossibleHours(t *testing.T) {
	h, p := readCSV(t, csvText(place, ",", fullColumns, 8760, func(c string, k int) string {
		switch {
		case c == "temperature_c" && k == 4000:
			return "70"
		case c == "rain_mm" && k == 100:
			return "-1"
		}
		return londonCell(c, k)
	}))
	if !near(h.Theta[4000], (london().Theta[3999]+london().Theta[4001])/2, 0.01) || h.Rain[100] != 0 ||
		!hasNote(p.Notes, "temperature_c: 1 impossible values") || !hasNote(p.Notes, "rain_mm: 1 impossible values") {
		t.Errorf("%v °C, %v mm, notes %q", h.Theta[4000], h.Rain[100], p.Notes)
	}
}

func TestCSVFaults(t *testing.T) {
	spoil := func(column string, row int, value string) string {
		return csvText("", ",", fullColumns, 8760, func(c string, k int) string {
			if c == column && k == row {
				return value
			}
			return londonCell(c, k)
		})
	}
	gap := csvText("", ",", fullColumns, 8760, func(c string, k int) string {
		if c == "rh" && k >= 20 && k < 27 {
			return ""
		}
		return londonCell(c, k)
	})
	shares := csvText("", ",", fullColumns, 8760, func(c string, k int) string {
		if c == "rh" {
			return londonCells()["rh_pct"][k]
		}
		return londonCell(c, k)
	})
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"word":            {spoil("rh", 5, "damp"), []string{"own.csv, line 7, column rh", `"damp"`, "from 0 to 1.1", "leave the cell blank"}},
		"per cent":        {shares, []string{"line 14, column rh", "rh_pct for per cent", "in all but 12 rows"}},
		"infinite":        {spoil("rain_mm", 5, "+Inf"), []string{"line 7, column rain_mm"}},
		"hexadecimal":     {spoil("wind_m_s", 5, "0x10"), []string{"line 7, column wind_m_s"}},
		"gap":             {gap, []string{"line 22, column rh", "no gap above 6 hours"}},
		"no temperature":  {"rh,rain_mm\n0.5,0\n", []string{"line 1", "temperature_c and either rh or rh_pct"}},
		"both humidities": {"temperature_c,rh,rh_pct\n", []string{"either rh or rh_pct"}},
		"doubled":         {"temperature_c,rh,RH\n", []string{"each column once"}},
		"too few rows":    {csvText("", ",", fullColumns, 8000, londonCell), []string{"8000 rows", "8784"}},
		"odd rows":        {csvText("", ",", fullColumns, 9000, londonCell), []string{"9000 rows", "time column"}},
		"narrow row":      {"temperature_c,rh\n1\n", []string{"line 2", "at least 2 cells"}},
		"empty":           {"", []string{"an empty file"}},
		"no rows":         {"temperature_c,rh\n", []string{"0 rows"}},
		"UTF-16":          {"t\x00e\x00", []string{"UTF-8"}},
		"bad latitude":    {"# latitude_deg: 95\ntemperature_c,rh\n", []string{"line 1, column latitude_deg", `"95"`}},
		"starts in May":   {"time,temperature_c,rh\n2020-05-01 00:00,1,0.5\n", []string{"line 2, column time", "1 January"}},
		"bad time":        {"time,temperature_c,rh\n1.1.2020,1,0.5\n", []string{"a time like"}},
		"hole in time":    {"time,temperature_c,rh\n2020-01-01 00:00,1,0.5\n2020-01-01 02:00,1,0.5\n", []string{"line 3, column time", "2020-01-01 01:00"}},
		"a long line":     {"temperature_c,rh\n" + strings.Repeat("1", 1<<19), []string{"line 2", "a very long line"}},
	} {
		_, _, err := weatherfile.Read("own.csv", strings.NewReader(c.text), &farOff)
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		for _, w := range c.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q lacks %q", name, err, w)
			}
		}
	}
	// Faults are told together, but not without end.
	many := csvText("", ",", fullColumns, 8760, func(c string, k int) string { return "x" })
	_, _, err := weatherfile.Read("own.csv", strings.NewReader(many), &farOff)
	if n := strings.Count(err.Error(), "\n") + 1; n != 5 {
		t.Errorf("%d faults told, expected 5", n)
	}
}
