package ingest

import (
	"bytes"
	"context"
	"fmt"
	"unicode/utf8"
)

// titleLines bounds how far down a header is looked for.
const titleLines = 20

// skipTitles drops the lines that a register prints above its header: its name,
// the date of the export. It looks for the first line that names every required
// column; when there is none, nothing is dropped and the first line is the
// header, whatever is wrong with it.
func (f *csvFile) skipTitles(ctx context.Context, data []byte) error {
	s := f.scan
	first, above := data, 0
	for ; above < titleLines && len(data) > 0 && !f.isHeader(data); above++ {
		end := bytes.IndexAny(data, "\r\n")
		if end < 0 {
			return nil
		}
		if bytes.HasPrefix(data[end:], []byte("\r\n")) {
			end++
		}
		data = data[end+1:]
	}
	if above == 0 || above == titleLines || len(data) == 0 {
		return nil
	}
	text := first[:bytes.IndexAny(first, "\r\n")]
	if !utf8.Valid(text) {
		text = bytes.ToValidUTF8(text, []byte("\ufffd"))
	}
	at := s.line
	for range above {
		if err := s.skipLine(ctx); err != nil {
			return err
		}
	}
	what := "one line stands above the header and is passed over"
	if above > 1 {
		what = fmt.Sprintf("%d lines stand above the header and are passed over", above)
	}
	f.notes = append(f.notes, fmt.Sprintf("%s: %q; the header is line %d", what, shorten(string(bytes.Trim(text, " ,;\t\""))), at+int64(above)))
	return nil
}

// isHeader says whether the record that data begins with names every required
// column.
func (f *csvFile) isHeader(data []byte) bool {
	delims := []byte{',', ';', '\t'}
	if d := f.src.opt.Delimiter; d != 0 {
		delims = []byte{byte(d)}
	} else if f.scan.delim != 0 {
		delims = []byte{f.scan.delim}
	}
	for _, d := range delims {
		cells, n, _ := splitRecord(data, d, true, nil)
		var headers []string
		for _, c := range cells {
			h := unquote(nil, data[:n], c)
			if !utf8.Valid(h) && !f.strict {
				if latin, err := windows1252(nil, h); err == nil {
					h = latin
				}
			}
			headers = append(headers, string(h))
		}
		if f.src.headers.complete(headers) {
			return true
		}
	}
	return false
}
