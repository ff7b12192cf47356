package weatherfile_test

import (
	"errors"
	"strings"
	"testing"

	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

func readEPW(t *testing.T, text string) (*hourly.Hours, *weatherfile.Place) {
	t.Helper()
	h, p, err := weatherfile.Read("made.epw", strings.NewReader(text), &farOff)
	if err != nil {
		t.Fatal(err)
	}
	return h, p
}

func TestEPWGivesBackTheYear(t *testing.T) {
	for _, leap := range []bool{false, true} {
		want := london()
		h, p := readEPW(t, epwText(leap, nil))
		if p.Latitude != 51.48 || !p.Located || p.TimeZone != 0 {
			t.Errorf("place %+v", p)
		}
		same(t, "temperature", h.Theta, want.Theta, 1e-4)
		same(t, "humidity", h.RH, want.RH, 1e-4)
		same(t, "wind", h.Wind, want.Wind, 1e-4)
		same(t, "direction", h.WindFrom, want.WindFrom, 1e-4)
		same(t, "rain", h.Rain, want.Rain, 1e-4)
		same(t, "global", h.Global, want.Global, 1e-4)
		same(t, "direct", h.DirectNormal, want.DirectNormal, 1e-4)
		same(t, "diffuse", h.Diffuse, want.Diffuse, 1e-4)
		same(t, "sky", h.SkyTheta, want.SkyTheta, 1e-3)
		if leap != hasNote(p.Notes, "29 February") {
			t.Errorf("leap %v, notes %q", leap, p.Notes)
		}
	}
}

// What a file lacks is filled, taken from what it has, or left out with a note.
func TestEPWMissing(t *testing.T) {
	want := london()
	cases := map[string]struct {
		change func(k int, c []string)
		note   string
		check  func(*hourly.Hours) bool
	}{
		"no rain code":  {func(_ int, c []string) { c[33], c[34] = "999", "99" }, "missing throughout: the rain is left out", func(h *hourly.Hours) bool { return h.Rain == nil }},
		"no rain blank": {func(_ int, c []string) { c[33], c[34] = "", "" }, "missing throughout", func(h *hourly.Hours) bool { return h.Rain == nil }},
		"rain all zero": {func(_ int, c []string) { c[33] = "0.0" }, "was not measured", func(h *hourly.Hours) bool { return h.Rain == nil }},
		"some rain missing": {func(k int, c []string) {
			if k%100 == 0 {
				c[33] = "999"
			}
		}, "count as dry", func(h *hourly.Hours) bool { return h.Rain != nil && h.Rain[100] == 0 }},
		"short gap": {func(k int, c []string) {
			if k >= 100 && k < 104 {
				c[6] = "99.9"
			}
		}, "4 missing hours were bridged", func(h *hourly.Hours) bool { return h.Theta[101] != 99.9 && h.Theta[99] == round4(want.Theta[99]) }},
		"humidity from dew point": {func(_ int, c []string) { c[8] = "999" }, "from the dew point", func(h *hourly.Hours) bool { return near(h.RH[5000], want.RH[5000], 1e-4) }},
		"split": {func(_ int, c []string) { c[14], c[15] = "9999", "9999" }, "was split", func(h *hourly.Hours) bool {
			return near(h.Diffuse[4000], want.Diffuse[4000], 0.1) && near(h.DirectNormal[4000], want.DirectNormal[4000], 1)
		}},
		"global from parts": {func(_ int, c []string) { c[13] = "9999" }, "made of direct and diffuse", func(h *hourly.Hours) bool { return near(h.Global[4000], want.Global[4000], 0.1) }},
		"no radiation":      {func(_ int, c []string) { c[13], c[14], c[15] = "9999", "9999", "9999" }, "Radiation is missing", func(h *hourly.Hours) bool { return h.Global == nil && h.Diffuse == nil }},
		"sky from cover":    {func(_ int, c []string) { c[12] = "9999" }, "from the sky cover", func(h *hourly.Hours) bool { return h.SkyTheta[0] < h.Theta[0] }},
		"sky from light":    {func(_ int, c []string) { c[12], c[22] = "0", "99" }, "from the radiation", func(h *hourly.Hours) bool { return h.SkyTheta[0] < h.Theta[0] }},
		"no wind":           {func(_ int, c []string) { c[20], c[21] = "999", "999" }, "the wind is left out", func(h *hourly.Hours) bool { return h.Wind == nil && h.WindFrom == nil }},
		"dark day": {func(k int, c []string) {
			if k/24 == 200 {
				c[13] = "9999"
			}
		}, "24 missing hours were filled", func(h *hourly.Hours) bool { return h.Global[200*24+12] == h.Global[199*24+12] }},
	}
	for name, c := range cases {
		h, p := readEPW(t, epwText(false, c.change))
		if !hasNote(p.Notes, c.note) {
			t.Errorf("%s: notes %q lack %q", name, p.Notes, c.note)
		}
		if !c.check(h) {
			t.Errorf("%s: hours are not as expected", name)
		}
	}
}

// 6 mm measured over 3 h are 2 mm in each.
func TestEPWRainDuration(t *testing.T) {
	h, _ := readEPW(t, epwText(false, func(k int, c []string) {
		c[33], c[34] = "0", "0"
		if k == 500 {
			c[33], c[34] = "6", "3"
		}
	}))
	for k, want := range map[int]float64{497: 0, 498: 2, 499: 2, 500: 2, 501: 0} {
		if h.Rain[k] != want {
			t.Errorf("hour %d: %v mm, expected %v", k, h.Rain[k], want)
		}
	}
}

// Rows beyond the year begin another, as in a table.
func TestEPWRowTooMany(t *testing.T) {
	text := epwText(false, nil)
	_, p := readEPW(t, text+strings.SplitAfter(text, "\n")[8])
	if !hasNote(p.Notes, "last 1 hours are no whole year") {
		t.Errorf("notes %q", p.Notes)
	}
}

// The sky is that of the year that is taken.
func TestEPWOfTwoYears(t *testing.T) {
	sunny := epwText(false, func(_ int, c []string) { c[12], c[33] = "200", "0.001" })
	h, p := readEPW(t, sunny+strings.Join(strings.SplitAfter(epwText(false, nil), "\n")[8:], ""))
	if !hasNote(p.Notes, "Year 2 of 2") {
		t.Errorf("notes %q", p.Notes)
	}
	same(t, "sky", h.SkyTheta, london().SkyTheta, 1e-3)
}

// Faults name file, line, column, value, what was expected, and the fix.
func TestEPWFaults(t *testing.T) {
	good := epwText(false, nil)
	at := func(k, column int, value string) string {
		return epwText(false, func(i int, c []string) {
			if i == k {
				c[column] = value
			}
		})
	}
	lines := strings.SplitAfter(good, "\n")
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"word": {at(10, 6, "warm"), []string{"bad.epw, line 19, column 7 (dry bulb)", `"warm"`, "from -80 to 60 °C", "leave the cell blank"}},
		"too cold": {epwText(false, func(k int, c []string) {
			if k >= 10 && k < 30 {
				c[6] = "-300"
			}
		}), []string{"line 31", "-300", "in all but 12 rows"}},
		"not a number":  {at(10, 8, "NaN"), []string{"line 19, column 9"}},
		"infinite":      {at(10, 21, "Inf"), []string{"line 19, column 22"}},
		"wrong hour":    {at(10, 3, "9"), []string{"line 19, column 2 to 4", "1/1 hour 11"}},
		"row missing":   {strings.Join(append(append([]string{}, lines[:500]...), lines[501:]...), ""), []string{"line 501", "none may be missing"}},
		"cut short":     {strings.Join(lines[:500], ""), []string{"492 rows", "8760 rows"}},
		"narrow row":    {strings.Replace(good, lines[100], "2001,1,1\r\n", 1), []string{"line 101", "at least 22 cells"}},
		"half hours":    {strings.Replace(good, "DATA PERIODS,1,1", "DATA PERIODS,1,2", 1), []string{"line 8", "records per hour"}},
		"no latitude":   {strings.Replace(good, "51.48", "north", 1), []string{"line 1, column 7 (latitude_deg)", `"north"`}},
		"short heading": {"LOCATION,x\n", []string{"line 1", "ten fields"}},
		"header alone":  {strings.Join(lines[:8], ""), []string{"0 rows"}},
		"long gap": {epwText(false, func(k int, c []string) {
			if k >= 100 && k < 107 {
				c[6] = "99.9"
			}
		}), []string{"line 109", "no gap above 6 hours"}},
	} {
		_, _, err := weatherfile.Read("bad.epw", strings.NewReader(c.text), &farOff)
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		var e *weatherfile.Error
		if !errors.As(err, &e) || e.Fix == "" || e.Want == "" {
			t.Errorf("%s: %v lacks what was expected or the fix", name, err)
		}
		for _, w := range c.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q lacks %q", name, err, w)
			}
		}
	}
}
