package report

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"wallsift/ingest"
)

// Cells that a spreadsheet would run are disarmed; plain numbers and words are
// not touched. The characters are those of the usual advice against CSV
// injection: = + - @ tab and carriage return. Common practice, no source.
func TestFormulaGuard(t *testing.T) {
	for cell, want := range map[string]string{
		`=HYPERLINK("http://x","y")`: `"'=HYPERLINK(""http://x"",""y"")"`,
		"+1+cmd":                     `"'+1+cmd"`,
		"-2+3":                       `"'-2+3"`,
		"@SUM(A1)":                   `"'@SUM(A1)"`,
		"\tx":                        "\"'\tx\"",
		"\rx":                        "\"'\rx\"",
		"=":                          `"'="`,
		"-":                          `"'-"`,
		"-12.5":                      "-12.5",
		"+44":                        "+44",
		"-3e5":                       "-3e5",
		"12 High Street":             "12 High Street",
		"a=b":                        "a=b",
		"flat 2;=1+1":                `"flat 2;'=1+1"`,
		"=a;b;@c":                    `"'=a;b;'@c"`,
		"55.1;-3.2":                  "55.1;-3.2",
		"":                           "",
		"Row 1, flat 2":              `"Row 1, flat 2"`,
		`the "old" mill`:             `"the ""old"" mill"`,
	} {
		if got := string(appendText(nil, cell, true)); got != want {
			t.Errorf("%q is written %s, expected %s", cell, got, want)
		}
	}
	if got := string(appendText(nil, "=own", false)); got != "=own" {
		t.Errorf("the tool's own words are written %s", got)
	}
}

// What is written after RFC 4180 is read back by an independent reader, the
// standard library's. It turns CR LF into LF, as its documentation says.
func TestCSVCellsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[=+\-@\t\r\n", a1.]{0,8}`))
		cells := rapid.SliceOfN(text, 2, 6).Draw(t, "cells")
		user := rapid.Bool().Draw(t, "user")
		var buf []byte
		for i, s := range cells {
			if i > 0 {
				buf = append(buf, ',')
			}
			buf = appendText(buf, s, user)
		}
		r := csv.NewReader(strings.NewReader(string(append(buf, '\n'))))
		got, err := r.Read()
		if err != nil {
			t.Fatalf("%q: %v", buf, err)
		}
		want := make([]string, len(cells))
		for i, s := range cells {
			if user {
				s = Guarded(s)
			}
			want[i] = strings.ReplaceAll(s, "\r\n", "\n")
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%q: %s", buf, d)
		}
		if _, err := r.Read(); err == nil {
			t.Errorf("%q is more than one record", buf)
		}
	})
}

func TestRejectsFile(t *testing.T) {
	dir := t.TempDir()
	r, err := NewRejects(dir)
	if err != nil {
		t.Fatal(err)
	}
	list := []ingest.Reject{
		{File: "a, b.csv", Line: 7, Column: "stone_type", Value: `=cmd|' /C x'!A0`, Reason: `unknown "stone"`, Fix: "correct it,\nplease", Known: "@A"},
		{File: "c.parquet", Reason: "cut short", Fix: "send it anew", Whole: true},
	}
	for range 600 { // more than the terminal keeps
		for _, x := range list {
			if err := r.Add(x); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	if len(r.First) != 1000 {
		t.Errorf("%d rejects kept in memory", len(r.First))
	}
	f, err := os.Open(filepath.Join(dir, RejectsCSV))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) != 1201 {
		t.Fatalf("%d lines", len(all))
	}
	want := [][]string{
		{"file", "line", "building_id", "column", "value", "reason", "fix"},
		{"a, b.csv", "7", "'@A", "stone_type", `'=cmd|' /C x'!A0`, `unknown "stone"`, "correct it,\nplease"},
		{"c.parquet", "", "", "", "", "cut short", "send it anew"},
	}
	if d := cmp.Diff(want, all[:3]); d != "" {
		t.Error(d)
	}
}
