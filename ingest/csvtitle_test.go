package ingest

import (
	"strings"
	"testing"
)

// Registers print their name above the header. Lines are counted as an editor
// counts them, and what is passed over is said.
func TestTitlesAboveTheHeader(t *testing.T) {
	body := table(requiredHeader+",remark", row("a", "x"), row("b", "y"))
	for name, c := range map[string]struct {
		in   string
		line int64
		note string
	}{
		"one line":              {"Register of walls\n" + body, 3, `one line stands above the header and is passed over: "Register of walls"; the header is line 2`},
		"with delimiters":       {"\"Register, as of 2024\",,,,,,\n,,,,,,\nDistrict: North,exposure,,,,,\n" + body, 5, "3 lines"},
		"semicolons":            {"Register, kept by the town\n\n" + strings.ReplaceAll(body, ",", ";"), 4, "2 lines"},
		"CRLF":                  {strings.ReplaceAll("Register\nNorth\n"+body, "\n", "\r\n"), 4, "2 lines"},
		"after blank lines":     {"\n;;\nRegister\n" + body, 5, "header is line 4"},
		"sep line":              {"sep=|\nRegister, North\n" + strings.ReplaceAll(body, ",", "|"), 4, "one line"},
		"header of two lines":   {"Register\n" + strings.Replace(body, "wall_thickness_mm", "\"wall_thickness\n[mm]\"", 1), 4, "one line"},
		"no title":              {body, 2, ""},
		"not UTF-8":             {"Stra\xdfen\n" + body, 3, "Stra\ufffden"},
		"nineteen lines":        {strings.Repeat("x\n", 19) + body, 21, "19 lines"},
		"UTF-16 and a title":    {utf16Bytes("Register\n"+body, true, true), 3, "one line"},
		"header names in quote": {"Register\n\"" + strings.ReplaceAll(strings.TrimSuffix(strings.ReplaceAll(body, "\n", "\"\n\""), "\""), ",", "\",\""), 3, "one line"},
	} {
		res := readText(t, testOptions, c.in)
		if len(res.rejects) > 0 || ids(res.rows) != "a b" || res.rows[0].Line != c.line {
			t.Errorf("%s: %+v %+v", name, res.rows, res.rejects)
			continue
		}
		said := strings.Join(res.notes, "\n")
		if !strings.Contains(said, c.note) || c.note == "" && said != "" {
			t.Errorf("%s: notes %q, expected %q", name, said, c.note)
		}
	}
	// Without a header anywhere the first line is judged, as ever.
	for _, in := range []string{"Register\nbuilding_id,exposure\n1,2\n", strings.Repeat("x\n", 25) + body, "Register"} {
		if r := onlyReject(t, readText(t, testOptions, in)); !r.Whole || !strings.Contains(r.Reason, "required column missing") {
			t.Errorf("%q: %+v", in, r)
		}
	}
}
