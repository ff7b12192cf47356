package ingest

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
)

// checkAll asks Seen for every building of a text and returns the doubled ids
// and the notes.
func checkAll(t *testing.T, opt Options, text string) (twice []Reject, notes string) {
	t.Helper()
	src, err := Open([]string{writeFile(t, "in.csv", text)}, opt)
	if err != nil {
		t.Fatal(err)
	}
	seen := NewSeen(src)
	for {
		b, err := src.Next(t.Context())
		if err == io.EOF {
			return twice, strings.Join(src.Notes(), "\n")
		}
		rows, _ := b.Decode()
		for i := range rows {
			if r, again := seen.Check(&rows[i]); again {
				twice = append(twice, r)
			}
		}
	}
}

// Unicode normalisation forms C and D (UAX #15): é is one code point or two.
func TestIDsThatLookAlike(t *testing.T) {
	for _, c := range []struct {
		a, b  string
		twice bool
		note  string
	}{
		{"caf\u00e9", "cafe\u0301", true, ""},
		{"A 1", "A\u00a01", true, ""},
		{"A1", "A\u200b1", true, ""},
		{"A1", "\ufeffA1", false, ""}, // refused as an id
		{"hx-1", "HX-1", false, `"HX-1" on line 3 and the one on line 2`},
		{"A1", "A\uff11", false, "in case or in the form of letters alone"},
		{"A1", "A2", false, ""},
	} {
		twice, notes := checkAll(t, testOptions, table(requiredHeader, row(c.a), row(c.b)))
		if len(twice) > 0 != c.twice || !strings.Contains(notes, c.note) || c.note == "" && notes != "" {
			t.Errorf("%q and %q: %+v, %q", c.a, c.b, twice, notes)
		}
	}
	// A third spelling is told from the first and from the second.
	twice, notes := checkAll(t, testOptions, table(requiredHeader, row("a"), row("A"), row("a"), row("A"), row("A")))
	if len(twice) != 3 || !strings.Contains(twice[0].Reason, "line 2,") || !strings.Contains(twice[1].Reason, "line 3,") || !strings.Contains(notes, "alone, and count as buildings of their own: 1;") {
		t.Errorf("%+v %q", twice, notes)
	}
}

// A bad row does not take the place of a good one with the same id.
func TestTheFirstGoodRowCounts(t *testing.T) {
	twice, _ := checkAll(t, testOptions, table(requiredHeader, strings.Replace(row("a"), "450", "45000", 1), row("a"), row("a")))
	if len(twice) != 1 || twice[0].Line != 4 || !strings.Contains(twice[0].Reason, "first seen on line 3, and the first good row counts") {
		t.Errorf("%+v", twice)
	}
}

// Walls of one home: the reject says what to map, and with that the rows are read.
func TestWallsOfOneHome(t *testing.T) {
	in := table(strings.Replace(requiredHeader, "building_id", "Asset No", 1)+",Wall", row("7", "front"), row("7", "back"), row("8", "front"), row("9", ""))
	opt := testOptions
	opt.Columns = map[string][]string{"Asset No": {"building_id"}}
	if twice, _ := checkAll(t, opt, in); len(twice) != 1 || !strings.Contains(twice[0].Fix, "if the rows are walls of one building, map home_id and a wall name to building_id, one entry each") {
		t.Errorf("%+v", twice)
	}
	opt.Columns = map[string][]string{"Asset No": {"home_id", "building_id"}, "Wall": {"building_id"}}
	res := readText(t, opt, in)
	var got []string
	for _, b := range res.rows {
		got = append(got, b.ID+"@"+b.Home)
	}
	if len(res.rejects) > 0 || strings.Join(got, ", ") != "7 / front@7, 7 / back@7, 8 / front@8, 9@9" {
		t.Errorf("%q %+v", got, res.rejects)
	}
	// Without the id of the row, the way out is said; columns that were not mapped are not joined.
	opt.Columns = map[string][]string{"Asset No": {"home_id"}}
	if r := onlyReject(t, readText(t, opt, in)); !strings.Contains(r.Fix, `map "Asset No" and the name of the wall to building_id`) {
		t.Errorf("%+v", r)
	}
	opt.Columns = map[string][]string{"Wall": {"building_id"}}
	if r := onlyReject(t, readText(t, opt, strings.Replace(in, "Asset No", "building_id", 1))); !strings.Contains(r.Reason, "all give building_id") || !strings.Contains(r.Fix, "map each of them") {
		t.Errorf("%+v", r)
	}
	// The same home under two spellings that look the same is one home.
	opt.Columns = nil
	res = readText(t, opt, table(requiredHeader+",home_id", row("a", "caf\u00e9"), row("b", "cafe\u0301")))
	if len(res.rows) != 2 || res.rows[0].Home != res.rows[1].Home {
		t.Errorf("%+v", res)
	}
}

func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"plain, Wrzeciodom żółć ½ 家": "plain, Wrzeciodom żółć ½ 家",
		"a\x1b[31mred":               "a\ufffd[31mred",
		"a\u009b31m":                 "a\ufffd31m",
		"a\u202eb\u2066c":            "a\ufffdb\ufffdc",
		"a\u2028b\nc\td\r":           "a b c d ",
		"a\x00\x7f\xff":              "a\ufffd\ufffd\ufffd",
	} {
		if got := Printable(in); got != want || Printable(got) != got {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// Nothing that ingest says, and no key that it hands over, can drive a terminal
// or turn the direction of writing.
func TestHostileTextIsHarmless(t *testing.T) {
	const evil = "x\x1b]0;owned\x07\u202e\u0085\u2028y"
	dir := t.TempDir()
	header := requiredHeader + ",group_key,home_id,Note " + evil + ",height_" + evil
	rows := []string{row("a", evil, "h", evil, ""), row("b"+evil, "", "", "", ""), row("c", "", evil, "", ""), row("d", "", "", ""), strings.Replace(row("e", "", "", "", ""), "granite", evil, 1)}
	name := filepath.Join(dir, "in"+strings.ReplaceAll(evil, "/", "")+".csv")
	if err := os.WriteFile(name, []byte(table(header, rows...)), 0o644); err != nil {
		t.Fatal(err)
	}
	src, err := Open([]string{dir}, testOptions)
	if err != nil {
		t.Fatal(err)
	}
	said := src.Names().Files
	var good []Building
	for {
		b, err := src.Next(t.Context())
		if err == io.EOF {
			break
		}
		rows, rejects := b.Decode()
		good = append(good, rows...)
		for _, r := range rejects {
			said = append(said, r.File, r.Column, r.Value, r.Reason, r.Fix, r.Known)
		}
	}
	if ids(good) != "a" || strings.ContainsAny(good[0].Extra[0], "\x1b\u009b\u202e\u2066\u2028") {
		t.Errorf("%+v", good)
	}
	said = append(append(append(said, src.Notes()...), src.Names().Extras...), good[0].Text[GroupKey])
	for _, s := range said {
		if Printable(s) != s {
			t.Errorf("%q", s)
		}
	}
}

// In Parquet a cell that is not text costs its row, as in CSV.
func TestParquetTextThatIsNotText(t *testing.T) {
	h, rows := splitRows(table(requiredHeader+",remark", row("a", "x"), row("b", "bad\xff"), row("c", "nul\x00"), row("d", "y")))
	res := readAll(t, testOptions, writeBytes(t, "in.parquet", parquetBytes(t, textRecord(h, rows), 10)))
	if ids(res.rows) != "a d" || res.rows[1].Line != 4 || len(res.rejects) != 2 {
		t.Fatalf("%+v %+v", res.rows, res.rejects)
	}
	for i, r := range res.rejects {
		if r.Line != int64(i+2) || r.Column != "remark" || r.Known != rows[i+1][0] || !strings.Contains(r.Reason, "UTF-8") {
			t.Errorf("%+v", r)
		}
	}
}

// peak is the most memory in use while a source is read to its end.
func peak(t *testing.T, src *Source) (mib uint64, rows int, rejects []Reject) {
	t.Helper()
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	base := m.HeapAlloc
	for {
		b, err := src.Next(t.Context())
		if err == io.EOF {
			return mib, rows, rejects
		}
		good, bad := b.Decode()
		rows += len(good)
		rejects = append(rejects, bad...)
		runtime.GC()
		runtime.ReadMemStats(&m)
		mib = max(mib, (max(m.HeapAlloc, base)-base)>>20)
		runtime.KeepAlive(good)
	}
}

// Memory is bounded by bytes: by long notes, by many columns of the user's own,
// and by a dictionary that makes a small file into a large one.
func TestMemoryIsBoundedByBytes(t *testing.T) {
	note := strings.Repeat("damp ", 2000)
	var long, wide strings.Builder
	long.WriteString(requiredHeader + ",remark\n")
	for i := range 8000 {
		long.WriteString(row(fmt.Sprint("b", i), note) + "\n")
	}
	wide.WriteString(requiredHeader)
	for i := range 9000 {
		fmt.Fprintf(&wide, ",own%d", i)
	}
	for i := range 1000 {
		wide.WriteString("\n" + row(fmt.Sprint("b", i)) + strings.Repeat(",", 9000))
	}
	h, cells := splitRows(long.String())
	small := parquetBytes(t, textRecord(h, cells[:8000]), 8000)
	if len(small) > 1<<20 {
		t.Fatalf("the dictionary does not make it small: %d bytes", len(small))
	}
	for name, c := range map[string]struct {
		path string
		rows int
	}{
		"long notes":      {writeFile(t, "in.csv", long.String()), 8000},
		"many columns":    {writeFile(t, "in.csv", wide.String()), 1000},
		"long dictionary": {writeBytes(t, "in.parquet", small), 8000},
	} {
		src, err := Open([]string{c.path}, testOptions)
		if err != nil {
			t.Fatal(err)
		}
		if mib, rows, rejects := peak(t, src); mib > 64 || rows != c.rows {
			t.Errorf("%s: %d MiB, %d rows, %+v", name, mib, rows, rejects)
		}
	}
}

// What is beyond a limit is a reject, and the rest is read.
func TestBeyondTheLimits(t *testing.T) {
	var many strings.Builder
	many.WriteString(requiredHeader)
	for i := range maxColumns {
		fmt.Fprintf(&many, ",own%d", i)
	}
	if r := onlyReject(t, readText(t, testOptions, many.String()+"\n"+row("a")+strings.Repeat(",", maxColumns))); !r.Whole || !strings.Contains(r.Reason, "more than 10000") {
		t.Errorf("%+v", r)
	}
	opt := testOptions
	opt.MaxRecord = 1000
	h, rows := splitRows(table(requiredHeader+",remark", row("a", "x"), row("b", strings.Repeat("x", 2000)), row("c", "x")))
	res := readAll(t, opt, writeBytes(t, "in.parquet", parquetBytes(t, textRecord(h, rows), 10)))
	if r := onlyReject(t, res); ids(res.rows) != "a c" || r.Line != 2 || r.Known != "b" || !strings.Contains(r.Reason, "longer than 1000 bytes") {
		t.Errorf("%+v %+v", res.rows, r)
	}
}

// A cell below a column without a name is told from a cell too many.
func TestColumnsWithoutAName(t *testing.T) {
	in := table(requiredHeader+",,", row("a", "", ""), row("b", "", "x"), row("c", "", "", "x"))
	res := readText(t, testOptions, in)
	if ids(res.rows) != "a" || len(res.rejects) != 2 || !strings.Contains(res.rejects[0].Reason, "column 8, which has no name") || !strings.Contains(res.rejects[1].Reason, "too many cells") {
		t.Errorf("%+v", res.rejects)
	}
}

func sum(data string) string {
	s := sha256.Sum256([]byte(data))
	return hex.EncodeToString(s[:])
}

// The hash is of the bytes that were read, from files, streams and refused
// files.
func TestInputsAreHashedWhileRead(t *testing.T) {
	dir := t.TempDir()
	text, small := table(requiredHeader, row("a")), string(smallParquet(t))
	contents := []string{text, small, "not an inventory\n" + strings.Repeat("x\n", 10000), "PK\x03\x04"}
	var paths []string
	for i, s := range contents {
		p := filepath.Join(dir, fmt.Sprint(i, ".csv"))
		if err := os.WriteFile(p, []byte(s), 0o644); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, p)
	}
	fifo := filepath.Join(dir, "fifo")
	if err := syscall.Mkfifo(fifo, 0o600); err != nil {
		t.Skip(err)
	}
	go func() { os.WriteFile(fifo, []byte(text), 0) }() //nolint:errcheck // the reader tells
	opt := testOptions
	opt.Stdin = strings.NewReader(text)
	src, err := Open(append(paths, fifo, "-"), opt)
	if err != nil {
		t.Fatal(err)
	}
	if src.Regular() {
		t.Error("a stream can be read twice?")
	}
	for first := true; ; first = false {
		_, err := src.Next(t.Context())
		if err == io.EOF {
			break
		}
		if first { // a file that takes the place of the one being read
			other := filepath.Join(dir, "other")
			if os.WriteFile(other, []byte("other"), 0o644) != nil || os.Rename(other, paths[0]) != nil {
				t.Fatal("the file was not replaced")
			}
		}
	}
	for i, in := range src.Inputs() {
		want := text
		if i < len(contents) {
			want = contents[i]
		}
		if in.SHA256 != sum(want) || in.Name != src.Names().Files[i] {
			t.Errorf("%s: %s, want %s", in.Name, in.SHA256, sum(want))
		}
	}
	if src, err := Open(paths[1:2], opt); err != nil || !src.Regular() {
		t.Errorf("%v: a file cannot be read twice?", err)
	}
}

func TestFileThatChangesHasNoHash(t *testing.T) {
	p := writeFile(t, "in.csv", table(requiredHeader, row("a")))
	opt := testOptions
	opt.BatchRows = 1 // the file is still open after the first
	src, err := Open([]string{p}, opt)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := src.Next(context.Background()); err != nil {
		t.Fatal(err)
	}
	later := time.Now().Add(time.Hour)
	if err := os.Chtimes(p, later, later); err != nil {
		t.Fatal(err)
	}
	if _, err := src.Next(context.Background()); err != io.EOF || src.Inputs()[0].SHA256 != "" || !strings.Contains(strings.Join(src.Notes(), ""), "changed while it was read") {
		t.Errorf("%v %+v %q", err, src.Inputs(), src.Notes())
	}
}

// What cannot be read is named, with a way out that helps.
func TestParquetThatIsNotSupportedIsNamed(t *testing.T) {
	h, rows := splitRows(table(requiredHeader, row("a")))
	rec := textRecord(h, rows)
	plain := parquetBytes(t, rec, 10, parquet.WithDictionaryDefault(false))
	// In the footer a codec is field 4 of the column (0x15) after its path;
	// 7 is LZ4_RAW in parquet.thrift, 14 its zigzag code.
	lz4 := bytes.Replace(plain, []byte("building_id\x15\x00"), []byte("building_id\x15\x0e"), 1)
	if bytes.Equal(lz4, plain) {
		t.Fatal("the codec was not found")
	}
	var buf bytes.Buffer
	props := parquet.NewFileEncryptionProperties("0123456789012345", parquet.WithPlaintextFooter())
	w, err := pqarrow.NewFileWriter(rec.Schema(), &buf, parquet.NewWriterProperties(parquet.WithEncryptionProperties(props)), pqarrow.DefaultWriterProps())
	if err != nil || w.Write(rec) != nil || w.Close() != nil {
		t.Fatal(err)
	}
	whole := bytes.Clone(plain)
	copy(whole, "PARE")
	copy(whole[len(whole)-4:], "PARE")
	for name, c := range map[string]struct {
		data        []byte
		reason, fix string
	}{
		"LZ4_RAW":           {lz4, "compression LZ4_RAW cannot be read", "snappy"},
		"encrypted columns": {buf.Bytes(), "encrypted", "without encryption"},
		"encrypted footer":  {whole, "encrypted", "without encryption"},
	} {
		r := onlyReject(t, readAll(t, testOptions, writeBytes(t, "in.parquet", c.data)))
		if !r.Whole || !strings.Contains(r.Reason, c.reason) || !strings.Contains(r.Fix, c.fix) {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

// BYTE_STREAM_SPLIT, by the example of Encodings.md of the format: byte k of
// every value stands in stream k.
func TestByteStreamSplit(t *testing.T) {
	c := &parquetColumn{kind: parquet.Types.Float}
	next := c.values([]byte{0xAA, 0x00, 0xA3, 0xBB, 0x11, 0xB4, 0xCC, 0x22, 0xC5, 0xDD, 0x33, 0xD6}, pageHeader{encoding: byteStreamSplit})
	for _, want := range []uint32{0xDDCCBBAA, 0x33221100, 0xD6C5B4A3} {
		if v := next(); uint32(v.n) != want {
			t.Errorf("%#x, want %#x", uint32(v.n), want)
		}
	}
	if damage(func() { next() }) == nil {
		t.Error("there is a fourth value")
	}
}

// Integers, fractions and days come back from every encoding that writers use
// for them.
func TestParquetNumbersInEveryEncoding(t *testing.T) {
	n := 1000
	fields := []arrow.Field{{Name: "i32", Type: arrow.PrimitiveTypes.Int32}, {Name: "i64", Type: arrow.PrimitiveTypes.Int64, Nullable: true}, {Name: "u32", Type: arrow.PrimitiveTypes.Uint32},
		{Name: "f32", Type: arrow.PrimitiveTypes.Float32}, {Name: "flag", Type: arrow.FixedWidthTypes.Boolean}, {Name: "dec", Type: &arrow.Decimal128Type{Precision: 30, Scale: 3}}}
	b := array.NewRecordBuilder(memory.DefaultAllocator, arrow.NewSchema(fields, nil))
	var want [][]string
	for i := range n {
		i32, i64, u32 := int32(i*i*7919-1<<20), int64(i)*int64(i)*-1234567891, uint32(i)*4294960
		b.Field(0).(*array.Int32Builder).Append(i32)
		text64 := ""
		if i%5 == 0 {
			b.Field(1).AppendNull()
		} else {
			b.Field(1).(*array.Int64Builder).Append(i64)
			text64 = fmt.Sprint(i64)
		}
		b.Field(2).(*array.Uint32Builder).Append(u32)
		b.Field(3).(*array.Float32Builder).Append(float32(i) / 10)
		b.Field(4).(*array.BooleanBuilder).Append(i%3 == 0)
		dec := fmt.Sprintf("%d.%03d", i, i)
		if i%2 == 1 {
			dec = "-" + dec
		}
		if err := b.Field(5).(*array.Decimal128Builder).AppendValueFromString(dec); err != nil {
			t.Fatal(err)
		}
		want = append(want, []string{fmt.Sprint(i32), text64, fmt.Sprint(u32), fmt.Sprint(float32(i) / 10), fmt.Sprint(i%3 == 0), dec})
	}
	numbers := b.NewRecord()
	var lines []string
	for i := range n {
		lines = append(lines, row(fmt.Sprint("b", i)))
	}
	h, rows := splitRows(table(requiredHeader, lines...))
	text := textRecord(h, rows)
	rec := array.NewRecord(arrow.NewSchema(append(text.Schema().Fields(), fields...), nil), append(text.Columns(), numbers.Columns()...), int64(n))
	deltas := []parquet.WriterProperty{parquet.WithDictionaryDefault(false), parquet.WithCompression(compress.Codecs.Zstd)}
	for _, c := range []string{"i32", "i64", "u32"} {
		deltas = append(deltas, parquet.WithEncodingFor(c, parquet.Encodings.DeltaBinaryPacked))
	}
	for name, opts := range map[string][]parquet.WriterProperty{
		"dictionary": nil, "plain": {parquet.WithDictionaryDefault(false)}, "delta": deltas,
		"delta in V2": append([]parquet.WriterProperty{parquet.WithDataPageVersion(parquet.DataPageV2)}, deltas...),
	} {
		res := readAll(t, testOptions, writeBytes(t, "in.parquet", parquetBytes(t, rec, 400, opts...)))
		if len(res.rejects) > 0 || len(res.rows) != n {
			t.Fatalf("%s: %+v", name, res.rejects)
		}
		for i, b := range res.rows {
			if got := strings.Join(b.Extra, " "); got != strings.Join(want[i], " ") {
				t.Fatalf("%s, row %d: %s, want %s", name, i, got, want[i])
			}
		}
	}
}

// Times of the old kind: nanoseconds and the Julian day, of which 2440588 is
// 1970-01-01 (parquet.thrift, INT96).
func TestParquetOldTimes(t *testing.T) {
	h, rows := splitRows(table(requiredHeader, row("a"), row("b")))
	text := textRecord(h, rows)
	times := array.NewTimestampBuilder(memory.DefaultAllocator, &arrow.TimestampType{Unit: arrow.Nanosecond})
	times.Append(arrow.Timestamp(time.Date(2024, 2, 29, 13, 5, 6, 500, time.UTC).UnixNano()))
	times.Append(0)
	schema := arrow.NewSchema(append(text.Schema().Fields(), arrow.Field{Name: "seen", Type: &arrow.TimestampType{Unit: arrow.Nanosecond}}), nil)
	var buf bytes.Buffer
	w, err := pqarrow.NewFileWriter(schema, &buf, nil, pqarrow.NewArrowWriterProperties(pqarrow.WithDeprecatedInt96Timestamps(true)))
	if err != nil || w.Write(array.NewRecord(schema, append(text.Columns(), times.NewArray()), 2)) != nil || w.Close() != nil {
		t.Fatal(err)
	}
	res := readAll(t, testOptions, writeBytes(t, "in.parquet", buf.Bytes()))
	if len(res.rows) != 2 || res.rows[0].Extra[0] != "2024-02-29T13:05:06.0000005" || res.rows[1].Extra[0] != "1970-01-01T00:00:00" {
		t.Errorf("%+v %+v", res.rows, res.rejects)
	}
	c := &parquetColumn{kind: parquet.Types.Int96}
	if got := c.text(nil, value{n: 1}); len(got) > 0 {
		t.Errorf("%q", got)
	}
}
