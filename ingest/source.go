package ingest

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Options say how an inventory is read.
type Options struct {
	// Columns maps a header in the file to the canonical names of the columns
	// that it fills, such as "Wall mm" to "wall_thickness_mm", or to "-" to
	// leave the column alone. A column may fill several, each through the
	// aliases of its own field. Upper case, spaces and punctuation of the
	// header do not count.
	Columns map[string][]string
	// Aliases maps, for each field, a value as found to a canonical value.
	// They go before the accepted words.
	Aliases map[string]map[string]string
	// Stones and Zones are the accepted stone types and climate zones. An
	// empty list accepts any value that is not blank.
	Stones, Zones []Term
	Delimiter     rune      // of CSV; 0 chooses among comma, semicolon and tab
	MaxRecord     int       // longest CSV record in bytes; 0 means 1 MiB
	BatchRows     int       // rows in a batch; 0 means 4096
	Stdin         io.Reader // read for "-"; nil means the standard input
}

// Source reads inventory files one after the other. Next is for one goroutine;
// the other methods may be called at any time from any.
type Source struct {
	opt     Options
	rules   *rules
	headers headerMap
	paths   []string
	files   []string

	mu     sync.Mutex
	extras extras
	notes  []string

	cur  fileReader
	file int // next to open
	seq  int64
}

// fileReader reads one file in batches and then returns io.EOF.
type fileReader interface {
	next(context.Context) (*Batch, error)
	shut()
}

// Open lists the files that the patterns name, in the order given: files,
// globs, folders (their .csv, .tsv, .txt and .parquet files, by name) and "-"
// for CSV on the standard input. A file named twice is read once. It fails
// when a pattern names nothing or when the options contradict themselves; the
// files themselves are judged by Next.
func Open(patterns []string, opt Options) (*Source, error) {
	if opt.MaxRecord <= 0 {
		opt.MaxRecord = 1 << 20
	}
	if opt.BatchRows <= 0 {
		opt.BatchRows = 4096
	}
	if opt.Delimiter < 0 || opt.Delimiter > 126 || strings.ContainsRune("\"\r\n", opt.Delimiter) {
		return nil, fmt.Errorf("delimiter %q: expected a single ASCII character other than a quote or a line end", opt.Delimiter)
	}
	if opt.Stdin == nil {
		// Looked up here: a read may be given up and outlive its caller.
		opt.Stdin = os.Stdin
	}
	rules, err := newRules(opt)
	if err != nil {
		return nil, err
	}
	headers, err := newHeaderMap(opt.Columns)
	if err != nil {
		return nil, err
	}
	paths, err := expand(patterns)
	if err != nil {
		return nil, err
	}
	s := &Source{opt: opt, rules: rules, headers: headers, paths: paths}
	for _, p := range paths {
		if p == "-" {
			p = "standard input"
		}
		s.files = append(s.files, p)
	}
	return s, nil
}

// Files returns the display names, by Building.File.
func (s *Source) Files() []string { return slices.Clone(s.files) }

// ExtraColumns returns the ride-through columns met so far, over all files, in
// the order they were first met. It grows while reading; the place of a name
// never changes. Columns of two files are one if they differ only in upper
// case, spaces and punctuation; the first spelling stays. Columns of one file
// are kept apart: the second of a name gets " (2)" behind it.
func (s *Source) ExtraColumns() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.extras.names)
}

// Notes returns remarks on files that were read all the same, such as a column
// name that is close to a known one.
func (s *Source) Notes() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.notes)
}

func (s *Source) note(text string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.notes = append(s.notes, text)
}

// place gives the ride-through columns of one file their places and their
// names in the results.
func (s *Source) place(headers []string) (at []int, names []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at = s.extras.place(headers)
	for _, k := range at {
		names = append(names, s.extras.names[k])
	}
	return at, names
}

// Next returns the next batch, or io.EOF after the last. Trouble with a file
// comes as a Reject in a batch; an error is returned only when ctx ends.
func (s *Source) Next(ctx context.Context) (*Batch, error) {
	for {
		if err := ctx.Err(); err != nil {
			s.Close()
			return nil, err
		}
		if s.cur == nil {
			if s.file == len(s.paths) {
				return nil, io.EOF
			}
			r, rej := s.open(ctx, s.file)
			s.file++
			if rej != nil {
				if ctx.Err() != nil {
					continue
				}
				return s.number(&Batch{file: int32(s.file - 1), name: rej.File, rejects: []Reject{*rej}}), nil
			}
			s.cur = r
		}
		b, err := s.cur.next(ctx)
		if err == nil {
			return s.number(b), nil
		}
		s.cur.shut()
		s.cur = nil
		if err != io.EOF {
			return nil, err
		}
	}
}

func (s *Source) number(b *Batch) *Batch {
	b.Seq = s.seq
	s.seq++
	return b
}

// Close gives up the file being read. It is needed only when Next was not
// called to its end.
func (s *Source) Close() {
	if s.cur != nil {
		s.cur.shut()
		s.cur = nil
	}
	s.file = len(s.paths)
}

// open opens file i and tells CSV from Parquet by its first bytes.
func (s *Source) open(ctx context.Context, i int) (fileReader, *Reject) {
	name := s.files[i]
	refuse := func(reason, fix string) (fileReader, *Reject) {
		return nil, &Reject{File: name, Reason: reason, Fix: fix, Whole: true}
	}
	r, file := s.opt.Stdin, (*os.File)(nil)
	closer := func() error { return nil }
	if s.paths[i] != "-" {
		f, err := os.Open(s.paths[i])
		if err != nil {
			return refuse(fmt.Sprintf("the file cannot be opened: %v", err), "check the path and the permissions")
		}
		r, file, closer = f, f, f.Close
		if info, err := f.Stat(); err != nil || info.IsDir() {
			f.Close()
			return refuse("this is a folder, not a file", "name the folder itself or the files in it")
		}
	}
	head := make([]byte, sniffBytes)
	n, err := io.ReadFull(r, head)
	head = head[:n]
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		closer()
		return refuse(fmt.Sprintf("the file cannot be read: %v", err), "check the disk or the permissions")
	}
	isParquet := bytes.HasPrefix(head, []byte("PAR1")) || bytes.HasPrefix(head, []byte("PARE"))
	var out fileReader
	var rej *Reject
	switch kind := notCSV(head); {
	case n == 0:
		rej = &Reject{File: name, Reason: "the file is empty", Fix: "a header line and at least one row are expected", Whole: true}
	case kind != "":
		rej = &Reject{File: name, Reason: "the file is " + kind, Fix: "export it as CSV or Parquet", Whole: true}
	case isParquet && file == nil:
		rej = &Reject{File: name, Reason: "Parquet cannot be read from the standard input", Fix: "name the file instead", Whole: true}
	case isParquet:
		out, rej = openParquet(ctx, s, int32(i), file)
	case strings.EqualFold(filepath.Ext(name), ".parquet"):
		rej = &Reject{File: name, Reason: "the file is not Parquet: it does not begin with PAR1", Fix: "export it again, or name it .csv if it is CSV", Whole: true}
	default:
		var f *csvFile
		if f, rej = openCSV(ctx, s, int32(i), r, head, closer); rej == nil {
			out = f
			for _, note := range f.notes {
				s.note(name + ": " + note)
			}
		}
	}
	if rej != nil {
		closer()
		return nil, rej
	}
	return out, nil
}

// joinTrouble makes one whole-file Reject of all that is wrong with a header.
func joinTrouble(file string, list []trouble) *Reject {
	r := &Reject{File: file, Line: 0, Whole: true}
	join := func(to *string, s, sep string) {
		if s != "" && *to != "" {
			*to += sep
		}
		*to += s
	}
	for _, t := range list {
		join(&r.Column, t.column, ", ")
		join(&r.Reason, t.reason, "; ")
		if !strings.Contains(r.Fix, t.fix) {
			join(&r.Fix, t.fix, "; ")
		}
	}
	return r
}
