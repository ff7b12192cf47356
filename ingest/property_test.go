package ingest

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"golang.org/x/text/encoding/charmap"
	"pgregory.net/rapid"
)

// randomTable draws a valid inventory as cells: known columns of every kind
// and two columns that ride through.
func randomTable(t *rapid.T) (headers []string, rows [][]string) {
	headers = []string{"building_id", "wall_thickness_mm", "stone_type", "climate_zone", "exposure", "embedded_timber",
		"height_m", "latitude", "orientation", "salts", "drain_outlet", "last_survey", "heating_fuel", "remark", "Ref. no"}
	// Characters that every encoding in the test can hold. None of them is a
	// UTF-8 continuation byte in Windows-1252, where é£° would be valid UTF-8.
	free := rapid.StringOfN(rapid.RuneFrom([]rune("abcXYZ 019,;\t\"\n'|.-_éößÄ")), 0, 9, -1)
	number := func(label string, lo, hi float64) string {
		v := rapid.Float64Range(lo, hi).Draw(t, label)
		return strconv.FormatFloat(v, 'f', rapid.SampledFrom([]int{0, 1, 2, 4, -1}).Draw(t, "digits"), 64)
	}
	optional := func(label, s string) string {
		if rapid.Bool().Draw(t, label+" blank") {
			return ""
		}
		return s
	}
	n := rapid.IntRange(1, 12).Draw(t, "rows")
	for i := range n {
		rows = append(rows, []string{
			fmt.Sprintf("%s%d", rapid.StringMatching(`[A-Zé][A-Za-z0-9 _/"-]{0,8}`).Draw(t, "id"), i),
			number("wall", 100, 2000),
			rapid.SampledFrom([]string{"granite", "Porous Sandstone", "FREESTONE", "brick_soft"}).Draw(t, "stone"),
			rapid.SampledFrom([]string{"4A", "5c", "Seattle", "Mixed, humid"}).Draw(t, "zone"),
			rapid.SampledFrom([]string{"sheltered", "Very severe"}).Draw(t, "exposure"),
			rapid.SampledFrom([]string{"none", "joist ends", "unknown"}).Draw(t, "timber"),
			optional("height", number("height", 2, 100)),
			optional("latitude", number("latitude", -80, 80)),
			optional("orientation", rapid.SampledFrom([]string{"N", "wsw", "90", "359.5"}).Draw(t, "orientation")),
			optional("salts", rapid.SampledFrom([]string{"none", "Heavy", "unknown"}).Draw(t, "salts")),
			optional("drain", rapid.SampledFrom([]string{"yes", "0", "TRUE"}).Draw(t, "drain")),
			optional("survey", rapid.SampledFrom([]string{"2019-04-30", "2001-12-01"}).Draw(t, "survey")),
			strings.TrimSpace(free.Draw(t, "fuel")),
			free.Draw(t, "remark"),
			free.Draw(t, "ref"),
		})
	}
	return headers, rows
}

// dialect is one way to write a table as CSV.
type dialect struct {
	delim    string
	eol      string
	encoding string
	quoteAll bool
	comma    bool // decimal comma, with a semicolon between cells
	trailing bool // empty cells at the end of each line
}

func (d dialect) write(headers []string, rows [][]string) []byte {
	var b strings.Builder
	line := func(cells []string) {
		for i, c := range cells {
			if i > 0 {
				b.WriteString(d.delim)
			}
			if d.quoteAll || strings.ContainsAny(c, "\"\r\n"+d.delim) {
				c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
			}
			b.WriteString(c)
		}
		if d.trailing {
			b.WriteString(d.delim + d.delim)
		}
		b.WriteString(d.eol)
	}
	line(headers)
	for _, r := range rows {
		cells := append([]string(nil), r...)
		if d.comma {
			for _, i := range []int{1, 6, 7} {
				cells[i] = strings.ReplaceAll(cells[i], ".", ",")
			}
		}
		line(cells)
	}
	s := b.String()
	switch d.encoding {
	case "utf-8 bom":
		s = "\xef\xbb\xbf" + s
	case "windows-1252":
		s, _ = charmap.Windows1252.NewEncoder().String(s)
	case "utf-16le":
		s = utf16Bytes(s, true, true)
	case "utf-16be":
		s = utf16Bytes(s, false, true)
	}
	return []byte(s)
}

// TestAnyDialectReadsTheSame writes one random table in a random dialect and
// as Parquet, and expects the buildings of the plain one.
func TestAnyDialectReadsTheSame(t *testing.T) {
	dir := t.TempDir()
	read := func(rt *rapid.T, name string, data []byte) []Building {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, data, 0o644); err != nil {
			rt.Fatal(err)
		}
		opt := testOptions
		opt.BatchRows = rapid.IntRange(1, 20).Draw(rt, "batch")
		res := readAll(t, opt, p)
		if len(res.rejects) > 0 {
			rt.Fatalf("%s: %+v\n%q", name, res.rejects[0], data)
		}
		return res.rows
	}
	rapid.Check(t, func(rt *rapid.T) {
		headers, rows := randomTable(rt)
		want := read(rt, "plain.csv", dialect{delim: ",", eol: "\n"}.write(headers, rows))
		if len(want) != len(rows) {
			rt.Fatalf("%d rows of %d", len(want), len(rows))
		}
		d := dialect{
			delim:    rapid.SampledFrom([]string{",", ";", "\t"}).Draw(rt, "delimiter"),
			eol:      rapid.SampledFrom([]string{"\n", "\r\n", "\r"}).Draw(rt, "line end"),
			encoding: rapid.SampledFrom([]string{"utf-8", "utf-8 bom", "windows-1252", "utf-16le", "utf-16be"}).Draw(rt, "encoding"),
			quoteAll: rapid.Bool().Draw(rt, "quote all"),
			trailing: rapid.Bool().Draw(rt, "trailing"),
		}
		d.comma = d.delim == ";" && rapid.Bool().Draw(rt, "decimal comma")
		compareBuildings(rt, want, read(rt, "other.csv", d.write(headers, rows)))
		compareBuildings(rt, want, read(rt, "copy.parquet", parquetBytes(t, randomlyTyped(rt, headers, rows), 5)))
	})
}

// randomlyTyped makes a record in which the number columns are numbers or
// text, as the draw has it.
func randomlyTyped(t *rapid.T, headers []string, rows [][]string) arrow.Record {
	rec := textRecord(headers, rows)
	fields, cols := rec.Schema().Fields(), rec.Columns()
	for _, i := range []int{1, 6, 7} {
		if !rapid.Bool().Draw(t, "as number") {
			continue
		}
		b := array.NewFloat64Builder(memory.DefaultAllocator)
		for _, r := range rows {
			if v, err := strconv.ParseFloat(r[i], 64); err == nil {
				b.Append(v)
			} else {
				b.AppendNull()
			}
		}
		fields[i].Type, cols[i] = arrow.PrimitiveTypes.Float64, b.NewArray()
	}
	return array.NewRecord(arrow.NewSchema(fields, nil), cols, int64(len(rows)))
}

// TestDamagedTableLosesNoRow drops random bytes into a table: every line that
// held a row must be a building or be named by a reject.
func TestDamagedTableLosesNoRow(t *testing.T) {
	p := filepath.Join(t.TempDir(), "in.csv")
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(rt, "rows")
		var lines []string
		for i := range n {
			lines = append(lines, row(fmt.Sprintf("b%03d", i), "remark"))
		}
		for range rapid.IntRange(1, 4).Draw(rt, "hits") {
			i := rapid.IntRange(0, n-1).Draw(rt, "line")
			at := rapid.IntRange(0, len(lines[i])-1).Draw(rt, "at")
			lines[i] = lines[i][:at] + rapid.SampledFrom([]string{"\"", ",", "\x00", "\xff", "x", "\"\"", "\","}).Draw(rt, "what") + lines[i][at+1:]
		}
		if err := os.WriteFile(p, []byte(table(requiredHeader+",remark", lines...)), 0o644); err != nil {
			rt.Fatal(err)
		}
		res := readAll(t, testOptions, p)
		told := map[int64]bool{}
		for _, b := range res.rows {
			told[b.Line] = true
			// A cell with a line break in it tells of the lines it spans.
			for _, s := range append(b.Extra, b.Text[:]...) {
				for k := range int64(strings.Count(s, "\n")) {
					told[b.Line+k+1] = true
				}
			}
		}
		for _, r := range res.rejects {
			told[r.Line] = true
		}
		for i := range n {
			if line := int64(i + 2); !told[line] && !spanned(res.rejects, line) {
				rt.Fatalf("line %d vanished: %q\nrejects %+v", line, lines[i], res.rejects)
			}
		}
	})
}

// spanned says whether the row of an earlier line was rejected for a value with
// line ends that reach the line.
func spanned(rejects []Reject, line int64) bool {
	for _, r := range rejects {
		if line > r.Line && line <= r.Line+int64(strings.Count(r.Value, "\n")) {
			return true
		}
	}
	return false
}
