package main

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"
)

// Nothing of a withheld column reaches a file or the screen, whatever is wrong
// with its row. Parquet packs its values; it has the columns of ranking.csv.
func TestWithheldColumnsReachNoFile(t *testing.T) {
	lines := []string{
		"building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,latitude,longitude,Tenant,Remark,tenant,ward",
		`A,510,brick_common,4c,moderate,none,49.5,-29.6,Xanthippe,"Xanthippe is ill, or so",Xanthippe,North`,
		`B,9,brick_common,4c,moderate,none,,,Xanthippe,,,North`,          // too thin
		`A,510,brick_common,4c,moderate,none,,,Xanthippe,,,North`,        // the id again
		`C,510,brick_common,4c,moderate,none,,,Xanthippe,ill,North`,      // too few cells
		"D,510,brick_common,4c,moderate,none,,,Xanthippe,\x00,,North",    // a NUL byte
		"E,510,brick_common,4c,moderate,none,,,x,Xanthippe\x00,,North",   // the same in the cell itself
		`F,510,brick_common,4c,moderate,none,,,x,"Xanthippe said`,        // a quote that stays open
		`Xanthippe",G,510,brick_common,4c,moderate,none,,,x,x,x,x,North`, // and where it would be closed
		`H,510,brick_common,4c,moderate,none,,,"Xanthippe" x,,,North`,    // text behind a quote
		`I,510,brick_common,4c,moderate,none,,,,,,North`,
	}
	path := write(t, "names.csv", strings.Join(lines, "\n")+"\n")
	dir := t.TempDir()
	for _, args := range [][]string{{"screen", path, "--out", dir, "--top", "0"}, {"check", path}} {
		s := call(t, t.Context(), append(args, "--set", "output.withhold=tenant,REMARK,phone", "--set", "run.max_rejected_share=1")...)
		if s.code != exitDone {
			t.Fatalf("exit code %d: %s", s.code, s.err)
		}
		if strings.Contains(s.out+s.err, "Xanthippe") {
			t.Errorf("%s prints it: %s%s", args[0], s.out, s.err)
		}
		if !strings.Contains(s.err, `output.withhold names "phone", which no inventory has`) {
			t.Errorf("%s does not say that one name is no column: %s", args[0], s.err)
		}
	}
	got := files(t, dir)
	book, err := zip.NewReader(strings.NewReader(got["ranking.xlsx"]), int64(len(got["ranking.xlsx"])))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range book.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		got["ranking.xlsx/"+f.Name] = string(text)
	}
	for name, text := range got {
		if bytes.Contains([]byte(text), []byte("Xanthippe")) {
			t.Errorf("%s holds it", name)
		}
	}
	head, _, _ := strings.Cut(got["ranking.csv"], "\n")
	if strings.Contains(strings.ToLower(head), "tenant") || strings.Contains(head, "Remark") || !strings.Contains(head, "ward") {
		t.Errorf("columns: %s", head)
	}
	if n := strings.Count(got["rejects.csv"], "\n"); n < 7 {
		t.Errorf("%d lines of rejects.csv, so some faults were not met: %s", n, got["rejects.csv"])
	}
	s := call(t, t.Context(), "check", path, "--set", "output.withhold=stone_type")
	if s.code == exitDone || !strings.Contains(s.err, "fills stone_type, which is written out") {
		t.Errorf("a column of the catalogue is withheld: %d, %s", s.code, s.err)
	}
}
