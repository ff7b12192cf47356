package ingest

import (
	"strings"
	"testing"
)

// Registers print their name above the header. Lines are counted as an editor
// counts them, and each line that is passed over is a reject.
func TestTitlesAboveTheHeader(t *testing.T) {
	body := table(requiredHeader+",remark", row("a", "x"), row("b", "y"))
	for name, c := range map[string]struct {
		in    string
		line  int64
		above int
		first string
	}{
		"one line":              {"Register of walls\n" + body, 3, 1, "Register of walls"},
		"with delimiters":       {"\"Register, as of 2024\",,,,,,\n,,,,,,\nDistrict: North,exposure,,,,,\n" + body, 5, 2, "\"Register, as of 2024\""},
		"semicolons":            {"Register, kept by the town\n\n" + strings.ReplaceAll(body, ",", ";"), 4, 1, "Register, kept"},
		"CRLF":                  {strings.ReplaceAll("Register\nNorth\n"+body, "\n", "\r\n"), 4, 2, "Register"},
		"CR":                    {strings.ReplaceAll("Register\n\n"+body, "\n", "\r"), 4, 1, "Register"},
		"after blank lines":     {"\n;;\nRegister\n" + body, 5, 1, "Register"},
		"sep line":              {"sep=|\nRegister, North\n" + strings.ReplaceAll(body, ",", "|"), 4, 1, "Register, North"},
		"header of two lines":   {"Register\n" + strings.Replace(body, "wall_thickness_mm", "\"wall_thickness\n[mm]\"", 1), 4, 1, "Register"},
		"no title":              {body, 2, 0, ""},
		"not UTF-8":             {"Stra\xdfen\n" + body, 3, 1, "Straßen"},
		"nineteen lines":        {strings.Repeat("x\n", 19) + body, 21, 19, "x"},
		"UTF-16 and a title":    {utf16Bytes("Register\n"+body, true, true), 3, 1, "Register"},
		"header names in quote": {"Register\n\"" + strings.ReplaceAll(strings.TrimSuffix(strings.ReplaceAll(body, "\n", "\"\n\""), "\""), ",", "\",\""), 3, 1, "Register"},
	} {
		res := readText(t, testOptions, c.in)
		if len(res.rejects) != c.above || ids(res.rows) != "a b" || res.rows[0].Line != c.line {
			t.Errorf("%s: %+v %+v", name, res.rows, res.rejects)
			continue
		}
		for _, r := range res.rejects {
			if r.Whole || r.Line >= c.line-1 || !strings.Contains(r.Reason, "above the header") {
				t.Errorf("%s: %+v", name, r)
			}
		}
		if c.above > 0 && (!strings.HasPrefix(res.rejects[0].Value, c.first) || len(res.notes) != 1 || !strings.Contains(res.notes[0], "the header is line")) {
			t.Errorf("%s: %+v, notes %q", name, res.rejects[0], res.notes)
		}
	}
	// A header that lacks a column is found, and says which.
	if r := onlyReject(t, readText(t, testOptions, "Register\nbuilding_id,exposure\n1,2\n")); !r.Whole || !strings.Contains(r.Reason, "required column missing: wall_thickness") || strings.Contains(r.Reason, "exposure") {
		t.Errorf("%+v", r)
	}
	// Without a header anywhere the first line is judged, as ever.
	for _, in := range []string{strings.Repeat("x\n", 25) + body, "Register"} {
		if r := onlyReject(t, readText(t, testOptions, in)); !r.Whole || !strings.Contains(r.Reason, "required column missing: building_id") {
			t.Errorf("%q: %+v", in, r)
		}
	}
}
