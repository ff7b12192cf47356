package ingest

import (
	"bytes"
	"fmt"
	"io"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

var (
	bomUTF8    = []byte("\xef\xbb\xbf")
	bomUTF16LE = []byte("\xff\xfe")
	bomUTF16BE = []byte("\xfe\xff")
)

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
// a whole record can be judged. strict reports a UTF-8 byte order mark.
func toUTF8(r io.Reader, head []byte) (out io.Reader, strict bool) {
	all := io.MultiReader(bytes.NewReader(head), r)
	switch {
	case bytes.HasPrefix(head, bomUTF8):
		return io.MultiReader(bytes.NewReader(head[len(bomUTF8):]), r), true
	case bytes.HasPrefix(head, bomUTF16LE), bytes.HasPrefix(head, bomUTF16BE):
		return unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Reader(all), true
	}
	switch nulPattern(head) {
	case unicode.LittleEndian:
		return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewDecoder().Reader(all), true
	case unicode.BigEndian:
		return unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM).NewDecoder().Reader(all), true
	}
	return all, false
}

// nulPattern tells UTF-16 without a byte order mark by the NUL bytes of its
// mostly ASCII header: at odd places in little-endian, at even in big-endian.
// It returns nil for anything else.
func nulPattern(head []byte) any {
	head = head[:min(len(head), 512)&^1]
	var even, odd int
	for i, b := range head {
		if b == 0 {
			if i%2 == 0 {
				even++
			} else {
				odd++
			}
		}
	}
	half := len(head) / 2
	switch {
	case half < 2:
	case odd*10 >= half*7 && even*10 <= half:
		return unicode.LittleEndian
	case even*10 >= half*7 && odd*10 <= half:
		return unicode.BigEndian
	}
	return nil
}

// windows1252 decodes bytes. It fails on the five that the code page leaves
// undefined.
func windows1252(dst, src []byte) ([]byte, error) {
	for _, b := range src {
		r := charmap.Windows1252.DecodeByte(b)
		if r >= 0x80 && r < 0xa0 || r == '\ufffd' { // C1 control: no character in the code page
			return nil, fmt.Errorf("byte %#02x is neither UTF-8 nor Windows-1252", b)
		}
		dst = append(dst, string(r)...)
	}
	return dst, nil
}
