package ingest

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
)

// scanAll splits a text with the scanner. Broken records appear as one cell
// that names the error.
func scanAll(t testing.TB, r io.Reader, delim byte, maxRecord int) (records [][]string, lines []int64) {
	t.Helper()
	s := newScanner(r, maxRecord)
	s.delim = delim
	for {
		err := s.next()
		switch {
		case err == io.EOF:
			return records, lines
		case errors.As(err, &problem{}):
			records = append(records, []string{"!" + err.Error()})
		case err != nil:
			t.Fatal(err)
		default:
			var rec []string
			for _, c := range s.cells {
				rec = append(rec, string(unquote(nil, s.rec, c)))
			}
			records = append(records, rec)
		}
		lines = append(lines, s.at)
	}
}

func TestScan(t *testing.T) {
	type recs = [][]string
	for _, c := range []struct {
		name, in string
		want     recs
		lines    []int64
	}{
		// The examples of RFC 4180, section 2, by number.
		{"RFC 4180 2.1 line breaks end records", "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", recs{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}, []int64{1, 2}},
		{"RFC 4180 2.2 last line without break", "aaa,bbb,ccc\r\nzzz,yyy,xxx", recs{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}, []int64{1, 2}},
		{"RFC 4180 2.3 header line", "field_name,field_name,field_name\r\naaa,bbb,ccc\r\n", recs{{"field_name", "field_name", "field_name"}, {"aaa", "bbb", "ccc"}}, []int64{1, 2}},
		{"RFC 4180 2.4 spaces are part of a field", "aaa, bbb ,ccc", recs{{"aaa", " bbb ", "ccc"}}, []int64{1}},
		{"RFC 4180 2.5 some quoted", "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", recs{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}, []int64{1, 2}},
		{"RFC 4180 2.6 line break inside quotes", "\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", recs{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}}, []int64{1, 3}},
		{"RFC 4180 2.7 doubled quotes", "\"aaa\",\"b\"\"bb\",\"ccc\"", recs{{"aaa", "b\"bb", "ccc"}}, []int64{1}},

		{"CR line ends", "a,b\rc,d\r", recs{{"a", "b"}, {"c", "d"}}, []int64{1, 2}},
		{"mixed line ends", "a\nb\r\nc\rd", recs{{"a"}, {"b"}, {"c"}, {"d"}}, []int64{1, 2, 3, 4}},
		{"blank line", "a\n\nb\n", recs{{"a"}, {""}, {"b"}}, []int64{1, 2, 3}},
		{"CR, LF and CRLF inside quotes", "\"a\rb\nc\r\nd\"\ne", recs{{"a\rb\nc\r\nd"}, {"e"}}, []int64{1, 5}},
		{"only doubled quotes", "\"\"\"\"\"\"\n", recs{{"\"\""}}, []int64{1}},
		{"empty quoted", "\"\",\"\"", recs{{"", ""}}, []int64{1}},
		{"delimiter at the end", "a,\n", recs{{"a", ""}}, []int64{1}},
		{"quote inside a bare cell", "12\" wall,b\n", recs{{"12\" wall", "b"}}, []int64{1}},
		{"text after a closing quote", "\"a\"b,c\nd,e\n", recs{{"!text follows a closing quote"}, {"d", "e"}}, []int64{1, 2}},
		{"unclosed to the end", "a,b\nc,\"d\ne,f\ng,h", recs{{"a", "b"}, {"!a quote is opened and never closed"}, {"e", "f"}, {"g", "h"}}, []int64{1, 2, 3, 4}},
		{"unclosed hits the next quoted cell", "a,\"b\nc,\"d\"\ne,f\n", recs{{"!text follows a closing quote"}, {"c", "d"}, {"e", "f"}}, []int64{1, 2, 3}},
		{"record too long", "a\n" + strings.Repeat("x", 70) + "\nb\n", recs{{"a"}, {"!the record is longer than 64 bytes"}, {"b"}}, []int64{1, 2, 3}},
		{"quote swallows more than a record may hold", "a,\"b\n" + strings.Repeat("c,d\n", 20), append(recs{{"!the record is longer than 64 bytes"}}, slices.Repeat(recs{{"c", "d"}}, 20)...), nil},
		{"nothing", "", nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for name, r := range map[string]io.Reader{"whole": strings.NewReader(c.in), "byte by byte": iotest.OneByteReader(strings.NewReader(c.in))} {
				got, lines := scanAll(t, r, ',', 64)
				if !slices.EqualFunc(got, c.want, slices.Equal) {
					t.Errorf("%s: got %q, want %q", name, got, c.want)
				}
				if c.lines != nil && !slices.Equal(lines, c.lines) {
					t.Errorf("%s: lines %v, want %v", name, lines, c.lines)
				}
			}
		})
	}
}

// endless yields the same byte for ever.
type endless struct{ left int64 }

func (e *endless) Read(p []byte) (int, error) {
	if e.left == 0 {
		return 0, io.EOF
	}
	n := min(int64(len(p)), e.left)
	for i := range p[:n] {
		p[i] = 'x'
	}
	e.left -= n
	return int(n), nil
}

func TestScanGiantCellInLittleMemory(t *testing.T) {
	size := int64(1 << 28)
	if raceEnabled {
		size = 1 << 24
	}
	in := io.MultiReader(strings.NewReader("a,b\nc,\""), &endless{size}, strings.NewReader("\n\"\nd,e\n"))
	s := newScanner(in, 1<<20)
	s.delim = ','
	var errs, records int
	for {
		err := s.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			errs++
			continue
		}
		records++
		if string(s.rec) == "d,e\n" && s.at != 4 {
			t.Errorf("last record on line %d, want 4", s.at)
		}
	}
	if s.r.Size() > 1<<20+2 {
		t.Errorf("buffer grew to %d bytes", s.r.Size())
	}
	// The quote on line 3 opens a record that swallows line 4 and never closes.
	if errs != 2 || records != 2 {
		t.Errorf("%d errors and %d records, want 2 and 2", errs, records)
	}
}

// FuzzScan holds the scanner against encoding/csv where both accept the input,
// and against itself however the input arrives.
func FuzzScan(f *testing.F) {
	for _, s := range []string{"a,b\r\nc,d", "\"a\"\"b\",c\n", "a,\"b\nc", "\r\r\n\"\r\n\",", "\"\"\"", "a\"b,c\n\"x\"y\n", ",,\n\n,"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		if len(in) > 4096 {
			return
		}
		whole, lines := scanAll(t, bytes.NewReader(in), ',', 64)
		bits, lines2 := scanAll(t, iotest.OneByteReader(bytes.NewReader(in)), ',', 64)
		if !slices.EqualFunc(whole, bits, slices.Equal) || !slices.Equal(lines, lines2) {
			t.Fatalf("whole %q %v, byte by byte %q %v", whole, lines, bits, lines2)
		}
		if !slices.IsSorted(lines) {
			t.Fatalf("lines go back: %v", lines)
		}
		big, _ := scanAll(t, bytes.NewReader(in), ',', 1<<16)
		ref := csv.NewReader(bytes.NewReader(in))
		ref.FieldsPerRecord = -1
		want, err := ref.ReadAll()
		if err != nil || bytes.ContainsRune(in, '\r') { // the library reads CR its own way
			return
		}
		var got [][]string
		for _, r := range big {
			if len(r) != 1 || r[0] != "" || len(in) == 0 { // the library skips blank lines
				got = append(got, r)
			}
		}
		var noBlank [][]string
		for _, r := range want {
			if len(r) != 1 || r[0] != "" {
				noBlank = append(noBlank, r)
			}
		}
		if !slices.EqualFunc(got, noBlank, slices.Equal) {
			t.Fatalf("got %q, encoding/csv %q", got, noBlank)
		}
	})
}
