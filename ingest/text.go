package ingest

import (
	"bytes"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	utf16 "golang.org/x/text/encoding/unicode"
	"golang.org/x/text/unicode/norm"
)

// harmless takes from text what drives a terminal or turns text around: control
// characters (terminal escapes among them), signs that embed, override or isolate
// a direction of writing, and bytes that are not UTF-8 become U+FFFD, separators of
// lines and paragraphs a blank. Everything else stays, line ends and tabs too.
func harmless(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\r' || r == '\t':
		case r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.IsControl(r), r == '\ufeff', r >= '\u202a' && r <= '\u202e', r >= '\u2066' && r <= '\u2069':
			return utf8.RuneError
		}
		return r
	}, s)
}

// Printable makes text harmless wherever it is printed, and one line: line ends and
// tabs become blanks. Cells that ride through keep theirs, so whoever prints
// Building.Extra on a terminal passes them through here.
func Printable(s string) string { return oneLine.Replace(harmless(s)) }

var oneLine = strings.NewReplacer("\n", " ", "\r", " ", "\t", " ")

// shorten keeps messages and memory small whatever stands in a cell, and makes
// it Printable.
func shorten(s string) string {
	const most = 80
	if len(s) <= most {
		return Printable(strings.Clone(s))
	}
	cut := most
	for cut > most-utf8.UTFMax && !utf8.RuneStart(s[cut]) {
		cut--
	}
	return Printable(s[:cut]) + "…"
}

// SameID writes an id so that ids which look the same are the same: composed
// (Unicode NFC), with a blank for every kind of space and without characters of
// no width. Ids are compared in this form and kept as they stand.
func SameID(id string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, norm.NFC.String(id)))
}

// fold reduces a header or a word to what is compared: letters and digits in
// lower case. Superscript two counts as 2.
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, norm.NFC.String(strings.ReplaceAll(s, "²", "2")))
}

// wholesome says whether text can be printed at all.
func wholesome(text []byte) bool { return bytes.IndexByte(text, 0) < 0 && utf8.Valid(text) }

// sniffBytes is how much of a file is looked at to tell its kind.
const sniffBytes = 4096

// notCSV names the kind of a file that is certainly not text, by its first
// bytes.
func notCSV(head []byte) string {
	for _, k := range []struct{ magic, name string }{
		{"PK\x03\x04", "a spreadsheet workbook or an archive"},
		{"\xd0\xcf\x11\xe0", "an old spreadsheet workbook"},
		{"\x1f\x8b", "compressed with gzip"},
		{"\x28\xb5\x2f\xfd", "compressed with zstd"},
		{"%PDF", "a PDF document"},
	} {
		if bytes.HasPrefix(head, []byte(k.magic)) {
			return k.name
		}
	}
	return ""
}

// toUTF8 prepares a stream for splitting. UTF-16 is converted; anything else
// is ASCII-compatible and judged record by record while reading, because only
// a whole record can be judged. strict reports that the encoding is certain.
func toUTF8(r io.Reader, head []byte) (out io.Reader, strict bool) {
	const bomUTF8 = "\xef\xbb\xbf"
	all := io.MultiReader(bytes.NewReader(head), r)
	switch {
	case bytes.HasPrefix(head, []byte(bomUTF8)):
		return io.MultiReader(bytes.NewReader(head[len(bomUTF8):]), r), true
	case bytes.HasPrefix(head, []byte("\xff\xfe")), bytes.HasPrefix(head, []byte("\xfe\xff")):
		return utf16.UTF16(utf16.LittleEndian, utf16.UseBOM).NewDecoder().Reader(all), true
	}
	// Without a byte order mark, UTF-16 is told by the NUL bytes of its mostly
	// ASCII header: at odd places in little-endian, at even in big-endian.
	head = head[:min(len(head), 512)&^1]
	half := len(head) / 2
	var nul [2]int
	for i, b := range head {
		if b == 0 {
			nul[i%2]++
		}
	}
	for odd, order := range []utf16.Endianness{utf16.BigEndian, utf16.LittleEndian} {
		if half >= 2 && nul[odd]*10 >= half*7 && nul[1-odd]*10 <= half {
			return utf16.UTF16(order, utf16.IgnoreBOM).NewDecoder().Reader(all), true
		}
	}
	return all, false
}
