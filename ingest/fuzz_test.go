package ingest

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzCSV feeds arbitrary bytes through the whole reader. Whatever comes out
// must be in range and in order.
func FuzzCSV(f *testing.F) {
	f.Add([]byte(table(requiredHeader+",height_m,remark", row("a", "9,5", "x"), row("b", "\"1,250\"", "\"y"))))
	f.Add([]byte("sep=;\r\n" + requiredHeader))
	f.Add([]byte(utf16Bytes(table(requiredHeader, row("a")), true, false)))
	f.Add([]byte("\xef\xbb\xbf" + table(requiredHeader, row("\xff"), row("a\x00"))))
	f.Fuzz(func(t *testing.T, in []byte) {
		if len(in) > 1<<16 {
			return
		}
		opt := testOptions
		opt.MaxRecord, opt.BatchRows = 512, 3
		checkOutput(t, readAll(t, opt, writeBytes(t, "in.csv", in)))
	})
}

// FuzzParquet does the same with Parquet.
func FuzzParquet(f *testing.F) {
	for _, opts := range hostileLayouts {
		f.Add(smallParquet(f, opts...))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		if len(in) > 1<<16 || len(in) < 4 {
			return
		}
		copy(in, "PAR1")
		p := filepath.Join(t.TempDir(), "in.parquet")
		if err := os.WriteFile(p, in, 0o644); err != nil {
			t.Fatal(err)
		}
		checkOutput(t, readAll(t, testOptions, p))
	})
}

func checkOutput(t *testing.T, res result) {
	t.Helper()
	last := int64(0)
	for _, b := range res.rows {
		if b.Line <= last {
			t.Fatalf("line %d after %d", b.Line, last)
		}
		last = b.Line
		if b.ID == "" || b.Stone == "" || b.Zone == "" || b.Cat[Exposure] == 0 || !utf8.ValidString(b.ID) {
			t.Fatalf("a required field is empty: %+v", b)
		}
		for n, v := range b.Num {
			c := numberColumn[n]
			if !math.IsNaN(v) && (v < c.Min || v > c.Max) || math.IsNaN(v) && c.Required {
				t.Fatalf("%s is %v", c.Name, v)
			}
		}
		for c, level := range b.Cat {
			if int(level) >= len(categoryColumn[c].Levels) {
				t.Fatalf("%s has level %d", categoryColumn[c].Name, level)
			}
		}
	}
	for _, r := range res.rejects {
		if r.Reason == "" || r.Fix == "" || r.File == "" {
			t.Fatalf("reject says too little: %+v", r)
		}
	}
	if len(res.rows)+len(res.rejects) == 0 {
		t.Fatal("a file left no trace")
	}
}

// FuzzMapping reads a small table through arbitrary column names, words and
// withheld columns of the user's. They are refused before a file is opened, or
// whatever comes out is in range, and nothing withheld comes out.
func FuzzMapping(f *testing.F) {
	f.Add("Wall (cm)", "wall_thickness_cm", "stone_type", "Whin", "granite", "Tenant", "Whin")
	f.Add("Object", "building_id", "embedded_timber", "", "unknown", "Wall (cm)", "granite")
	f.Add("Wall (cm)", "-", "wall_thickness", "1,5", "450", "tenant", "45")
	f.Fuzz(func(t *testing.T, header, to, field, word, meant, withheld, cell string) {
		const secret = "xyzzy plugh"
		if strings.Contains(header+cell+word+meant+withheld, "xyzzy") || strings.ContainsAny(header+cell, "\",;\t\r\n") {
			return
		}
		opt := testOptions
		opt.Columns = map[string][]string{header: {to}}
		opt.Aliases = map[string]map[string]string{field: {word: meant}}
		opt.Withhold = []string{withheld, "Tenant"}
		in := writeBytes(t, "in.csv", []byte(table(requiredHeader+","+header+",Tenant", row("a", cell, secret), row("b", "", secret))))
		if _, err := Open([]string{in}, opt); err != nil {
			return
		}
		res := readAll(t, opt, in)
		checkOutput(t, res)
		for _, b := range res.rows {
			if strings.Contains(strings.Join(append(append(b.Extra, b.ID, b.Home), b.Text[:]...), " "), secret) {
				t.Errorf("what was withheld came out: %+v", b)
			}
		}
		for _, r := range res.rejects {
			if strings.Contains(r.Value+r.Known+r.Reason+r.Fix, secret) {
				t.Errorf("what was withheld is told: %+v", r)
			}
		}
	})
}
