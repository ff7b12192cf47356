package weatherfile_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"testing"

	"wallsift/model/air"
	"wallsift/model/climate"
	"wallsift/model/climate/climatetest"
	"wallsift/model/climate/hourly"
)

// london is a generated year; tests make their files of it.
var london = sync.OnceValue(func() *hourly.Hours {
	s := climatetest.Station(&testing.B{}, "london")
	return hourly.Generate(&s, 5, 0)
})

// epwValues are the cells of each hour from column 7 on.
var epwValues = sync.OnceValue(func() [][]string {
	h := london()
	out := make([][]string, len(h.Theta))
	for k := range out {
		dew := air.DewPoint(h.RH[k] * air.Psat(h.Theta[k]))
		ir := 5.670374e-8 * math.Pow(h.SkyTheta[k]+273.15, 4)
		for _, v := range []float64{h.Theta[k], dew, 100 * h.RH[k], 101325, 0, 0, ir, h.Global[k], h.DirectNormal[k], h.Diffuse[k],
			0, 0, 0, 0, h.WindFrom[k], h.Wind[k], 5, 5, 10, 2000, 9, 999999999, 15, 0.1, 0, 88, 0.2, h.Rain[k], 1} {
			out[k] = append(out[k], strconv.FormatFloat(v, 'f', 4, 64))
		}
	}
	return out
})

// epwText writes an EPW file as its documentation lays it out. change may alter
// the 35 cells of a row.
func epwText(leap bool, change func(k int, cells []string)) string {
	values := epwValues()
	var b strings.Builder
	b.WriteString("LOCATION,Invented Place,-,XXX,made for tests,000000,51.48,0.0,0.0,25.0\r\n" +
		"DESIGN CONDITIONS,0\r\nTYPICAL/EXTREME PERIODS,0\r\nGROUND TEMPERATURES,0\r\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\r\n" +
		"COMMENTS 1,made for tests\r\nCOMMENTS 2,\r\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\r\n")
	k := 0
	write := func(m, d, hour int) {
		cells := []string{"2001", fmt.Sprint(m + 1), fmt.Sprint(d), fmt.Sprint(hour + 1), "0", "?9?9?9?9E0"}
		cells = append(cells, values[k]...)
		if change != nil {
			change(k, cells)
		}
		b.WriteString(strings.Join(cells, ",") + "\r\n")
	}
	for m, n := range climate.Days {
		for d := 1; d <= n; d++ {
			for hour := range 24 {
				write(m, d, hour)
				k++
			}
		}
		if leap && m == 1 {
			k -= 24 // the last of February again
			for hour := range 24 {
				write(m, 29, hour)
				k++
			}
		}
	}
	return b.String()
}

// csvText writes a table; columns by name, rows by their hour.
func csvText(head string, mark string, columns []string, rows int, cell func(column string, k int) string) string {
	var b strings.Builder
	b.WriteString(head + strings.Join(columns, mark) + "\n")
	for k := range rows {
		for i, c := range columns {
			if i > 0 {
				b.WriteString(mark)
			}
			b.WriteString(cell(c, k))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// londonCells are the columns of that year as text.
var londonCells = sync.OnceValue(func() map[string][]string {
	h := london()
	out := map[string][]string{}
	for column, v := range map[string][]float64{"temperature_c": h.Theta, "rh": h.RH, "rh_pct": h.RH, "wind_m_s": h.Wind,
		"wind_from_deg": h.WindFrom, "rain_mm": h.Rain, "global_w_m2": h.Global, "direct_normal_w_m2": h.DirectNormal,
		"diffuse_w_m2": h.Diffuse, "sky_temperature_c": h.SkyTheta} {
		factor := 1.0
		if column == "rh_pct" {
			factor = 100
		}
		for _, x := range v {
			out[column] = append(out[column], strconv.FormatFloat(factor*x, 'f', 4, 64))
		}
	}
	return out
})

func londonCell(column string, k int) string { return londonCells()[column][k%hourly.HoursPerYear] }

var fullColumns = []string{"temperature_c", "rh", "wind_m_s", "wind_from_deg", "rain_mm", "global_w_m2"}

// same compares two series to the rounding of the text.
func same(t *testing.T, what string, got, want []float64, allowed float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d hours, expected %d", what, len(got), len(want))
		return
	}
	for k := range got {
		if !(math.Abs(got[k]-want[k]) <= allowed) {
			t.Errorf("%s, hour %d: %v, expected %v", what, k, got[k], want[k])
			return
		}
	}
}

func hasNote(notes []string, part string) bool {
	for _, n := range notes {
		if strings.Contains(n, part) {
			return true
		}
	}
	return false
}
