package ingest

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"
)

func utf16Bytes(s string, little, bom bool) string {
	var out []byte
	units := utf16.Encode([]rune(s))
	if bom {
		units = append([]uint16{0xfeff}, units...)
	}
	for _, u := range units {
		if little {
			out = append(out, byte(u), byte(u>>8))
		} else {
			out = append(out, byte(u>>8), byte(u))
		}
	}
	return string(out)
}

func TestCSVDialects(t *testing.T) {
	plain := table(requiredHeader+",remark", row("Höhe-1", "café"), row("b", "x"))
	latin := strings.NewReplacer("ö", "\xf6", "é", "\xe9").Replace(plain)
	for name, in := range map[string]string{
		"UTF-8":                     plain,
		"UTF-8 with BOM":            "\xef\xbb\xbf" + plain,
		"Windows-1252":              latin,
		"UTF-16 LE with BOM":        utf16Bytes(plain, true, true),
		"UTF-16 BE with BOM":        utf16Bytes(plain, false, true),
		"UTF-16 LE without BOM":     utf16Bytes(plain, true, false),
		"UTF-16 BE without BOM":     utf16Bytes(plain, false, false),
		"CRLF":                      strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":                        strings.ReplaceAll(plain, "\n", "\r"),
		"semicolons":                strings.ReplaceAll(plain, ",", ";"),
		"tabs":                      strings.ReplaceAll(plain, ",", "\t"),
		"sep line":                  "sep=;\r\n" + strings.ReplaceAll(plain, ",", ";"),
		"sep line in upper case":    "SEP=|\n" + strings.ReplaceAll(plain, ",", "|"),
		"blank lines before header": "\n;;;;\n" + plain,
		"blank lines between":       strings.ReplaceAll(plain, "\nb,", "\n\n , ,,,,,\nb,"),
		"trailing empty columns":    strings.ReplaceAll(plain, "\n", ",,\n"),
		"trailing blank rows":       plain + ",,,,,,\n ,,,,,,\n",
		"no line end at the end":    strings.TrimSuffix(plain, "\n"),
		"everything quoted":         "\"" + strings.NewReplacer(",", "\",\"", "\n", "\"\n\"").Replace(strings.TrimSpace(plain)) + "\"",
		"upper case and spaces":     strings.Replace(plain, requiredHeader, "Building ID, Wall Thickness (mm),STONE TYPE,Climate-Zone,Exposure,\u00a0Embedded timber", 1),
		"non-breaking spaces":       strings.ReplaceAll(plain, "granite", "\u00a0granite\u00a0"),
	} {
		t.Run(name, func(t *testing.T) {
			res := readText(t, testOptions, in)
			if len(res.rejects) > 0 {
				t.Fatalf("rejects: %+v", res.rejects)
			}
			if ids(res.rows) != "Höhe-1 b" {
				t.Fatalf("ids = %q", ids(res.rows))
			}
			if got := res.rows[0].Extra[0]; got != "café" {
				t.Errorf("remark = %q", got)
			}
			if b := res.rows[0]; b.Stone != "granite" || b.Zone != "4A" || b.Num[WallThickness] != 0.45 || b.Cat[Exposure] != 3 {
				t.Errorf("building = %+v", b)
			}
		})
	}
}

func TestWindows1252IsNoted(t *testing.T) {
	res := readText(t, testOptions, table(requiredHeader, row("a"), row("caf\xe9"), row("na\xefve")))
	if len(res.notes) != 1 || !strings.Contains(res.notes[0], "line 3") || !strings.Contains(res.notes[0], "Windows-1252") {
		t.Errorf("notes = %q", res.notes)
	}
}

func TestWindows1252Letters(t *testing.T) {
	// From the mapping table CP1252.TXT: 80 euro, 93 and 94 quotes, A3 pound, E9 é.
	res := readText(t, testOptions, table(requiredHeader+",remark", row("a", "\x80 \x93\xa3\x94 \xe9")))
	if len(res.rows) != 1 || res.rows[0].Extra[0] != "€ “£” é" {
		t.Errorf("%+v %+v", res.rows, res.rejects)
	}
}

func TestCSVQuoteThatSwallowsRows(t *testing.T) {
	for _, c := range []struct{ name, in, ids, lines string }{
		{"in a remark", table(requiredHeader+",remark", row("a", "\"oh"), row("b", "ok"), row("c", "ok\""), row("d", "ok")), "b d", "2 4"},
		{"in a known column", table(requiredHeader, "a,\"450,granite,4A,severe,none", row("b"), "c,450\",granite,4A,severe,none", row("d")), "b d", "2 4"},
		{"closed where it fits", table(requiredHeader, "\""+row("a"), row("b"), "c\",450,granite,4A,severe,none", row("d")), "b d", "2 4"},
		{"id over two lines", table(requiredHeader, "\"a", "b\",450,granite,4A,severe,none", row("c")), "c", "2 3"},
	} {
		res := readText(t, testOptions, c.in)
		var lines []string
		for _, r := range res.rejects {
			lines = append(lines, fmt.Sprint(r.Line))
		}
		if ids(res.rows) != c.ids || strings.Join(lines, " ") != c.lines {
			t.Errorf("%s: rows %q, rejects %+v", c.name, ids(res.rows), res.rejects)
		}
	}
	// A remark over several lines is just that.
	res := readText(t, testOptions, table(requiredHeader+",remark", row("a", "\"wet, cold\nsalts, cracks\n\""), row("b", "ok")))
	if ids(res.rows) != "a b" || res.rows[0].Extra[0] != "wet, cold\nsalts, cracks\n" || res.rows[1].Line != 5 {
		t.Errorf("%+v %+v", res.rows, res.rejects)
	}
}

// The five code points that Windows-1252 leaves open: Unicode consortium,
// mapping table CP1252.TXT.
func TestWindows1252Undefined(t *testing.T) {
	for _, b := range []string{"\x81", "\x8d", "\x8f", "\x90", "\x9d"} {
		if r := onlyReject(t, readText(t, testOptions, table(requiredHeader, row("a"+b)))); r.Line != 2 || !strings.Contains(r.Reason, "neither UTF-8 nor Windows-1252") {
			t.Errorf("%x: reject = %+v", b, r)
		}
	}
}

func TestCSVRowRejects(t *testing.T) {
	for _, c := range []struct {
		name, in              string
		ids                   string
		line                  int64
		column, reason, known string
	}{
		{"too few cells", table(requiredHeader, row("a"), "b,450,granite", row("c")), "a c", 3, "", "too few cells: 3, the header has 6", "b"},
		{"too many cells", table(requiredHeader, row("a", "x", "y"), row("b")), "b", 2, "", "too many cells: 8, the header has 6", "a"},
		{"NUL byte", table(requiredHeader, row("a"), "b,450,gran\x00ite,4A,severe,none"), "a", 3, "stone_type", "NUL", "b"},
		{"broken UTF-8 after a BOM", "\xef\xbb\xbf" + table(requiredHeader+",remark", row("a", "\xff"), row("b", "ok")), "b", 2, "remark", "not valid UTF-8", "a"},
		{"open quote at the end", table(requiredHeader+",remark", row("a", "ok"), row("b", "\"oh")), "a", 3, "remark", "never closed", "b"},
		{"open quote in the middle", table(requiredHeader+",remark", row("a", "\"oh"), row("b", "ok"), row("c", "ok")), "b c", 2, "remark", "never closed", "a"},
		{"text after a quote", table(requiredHeader+",remark", row("a", "\"oh\"x"), row("b", "ok")), "b", 2, "remark", "follows a closing quote", "a"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := readText(t, testOptions, c.in)
			r := onlyReject(t, res)
			if ids(res.rows) != c.ids || r.Line != c.line || r.Column != c.column || !strings.Contains(r.Reason, c.reason) || r.Known != c.known || r.Whole || r.Fix == "" {
				t.Errorf("rows %q, reject %+v", ids(res.rows), r)
			}
		})
	}
}

func TestCSVMultiLineRaggedResumes(t *testing.T) {
	// The open quote closes two lines on; the row between must not vanish.
	in := table(requiredHeader+",remark", row("a", "\"oh"), row("b", "ok"), "\",x", row("c", "ok"))
	res := readText(t, testOptions, in)
	if ids(res.rows) != "b c" {
		t.Errorf("rows = %q", ids(res.rows))
	}
	if len(res.rejects) == 0 || res.rejects[0].Line != 2 || !strings.Contains(res.rejects[0].Reason, "runs over 3 lines") {
		t.Errorf("rejects = %+v", res.rejects)
	}
}

func TestCSVRecordTooLong(t *testing.T) {
	opt := testOptions
	opt.MaxRecord = 200
	in := table(requiredHeader+",remark", row("a", strings.Repeat("x", 500)), row("b", "ok"))
	res := readText(t, opt, in)
	if r := onlyReject(t, res); r.Line != 2 || !strings.Contains(r.Reason, "longer than 200 bytes") || ids(res.rows) != "b" {
		t.Errorf("rows %q, reject %+v", ids(res.rows), r)
	}
}

func TestCSVWholeFileRejects(t *testing.T) {
	for _, c := range []struct{ name, in, reason, fix string }{
		{"empty", "", "empty", ""},
		{"blank", "\n\n \n", "empty", ""},
		{"header only", requiredHeader + "\n", "no rows", ""},
		{"missing column", table("building_id,wall_thickness_mm,stone_type,climate_zone,exposure", "a,1,b,c,d"), "required column missing: embedded_timber", "add the column"},
		{"misspelt column", table(strings.Replace(requiredHeader, "exposure", "exposere", 1), row("a")), "required column missing: exposure", "\"exposere\" as exposure"},
		{"measure without unit", table(strings.Replace(requiredHeader, "_mm", "", 1), row("a")), "does not say its unit", "wall_thickness_mm"},
		{"optional measure without unit", table(requiredHeader+",height", row("a", "9")), "does not say its unit", "height_m"},
		{"unit not accepted", table(requiredHeader+",height_cm", row("a", "900")), "unit that is not accepted", "height_m"},
		{"two units", table(requiredHeader+",wall_thickness_in", row("a", "18")), "two units", "keep one"},
		{"twice the same", table(requiredHeader+",Exposure", row("a", "severe")), "all give exposure", "keep one"},
		{"workbook", "PK\x03\x04rubbish", "spreadsheet workbook", "export"},
		{"gzip", "\x1f\x8brubbish", "gzip", "export"},
		{"binary", "\x00\x01\x02\x03\x04\x05\n\x00", "not text", "encodings"},
		{"open quote in the header", "building_id,\"wall", "header line cannot be read", "quote"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := readText(t, testOptions, c.in)
			r := onlyReject(t, res)
			if !r.Whole || !strings.Contains(r.Reason, c.reason) || !strings.Contains(r.Fix, c.fix) || len(res.rows) > 0 {
				t.Errorf("reject %+v", r)
			}
		})
	}
}
