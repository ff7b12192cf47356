package ingest

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"io/fs"
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
	// aliases of its own field. Several headers mapped to building_id are joined
	// in the order of the file. Upper case, spaces and punctuation of the header
	// do not count.
	Columns map[string][]string
	// Aliases maps, for each field, a value as found to a canonical value; ""
	// stands for a blank. They go before the accepted words.
	Aliases map[string]map[string]string
	// Stones and Zones are the accepted stone types and climate zones. An
	// empty list accepts any value that is not blank.
	Stones, Zones []Term
	// Withhold names columns of the inventory's own that are not read: nothing of
	// them but the name can reach a file. Upper case, spaces and punctuation do
	// not count. One that fills a known column cannot be withheld.
	Withhold  []string
	Delimiter rune      // of CSV; 0 chooses among comma, semicolon and tab
	MaxRecord int       // longest row in bytes; 0 means 1 MiB
	BatchRows int       // most rows in a batch; 0 means 4096
	Stdin     io.Reader // read for "-"; nil means the standard input
}

// Source reads inventory files one after the other. Next is for one goroutine;
// the other methods may be called at any time from any.
type Source struct {
	opt     Options
	rules   *rules
	headers headerMap
	// withheld are Options.Withhold by the folded name, true once a file had it.
	withheld map[string]bool
	paths    []string
	files    []string

	mu     sync.Mutex
	extras extras
	met    []string            // headers of all files opened so far, each once
	from   map[string][]string // see ReadFrom
	notes  []string
	inputs []Input
	seen   *Seen // of this source, if any

	data []byte     // of the last batch, to be used again
	ends []int32    // likewise
	file int        // being read or, if there is no cur, next
	cur  fileReader // of it
	lay  *layout    // of its columns
	in   *input     // behind cur
	any  bool       // a batch of it was made
}

// Input is a file as it was read.
type Input struct {
	Name   string `json:"name"`             // as in Names.Files
	SHA256 string `json:"sha256,omitempty"` // of all its bytes in hexadecimal; "" if it was not read to its end or changed meanwhile
}

// fileReader reads one file row by row into a batch, or leaves them out. It reports
// false when there are no more, and why if they cannot be read.
type fileReader interface {
	row(*gathering) (why *Reject, more bool)
}

// Open lists the files that the patterns name, in the order given: files,
// globs, folders (their .csv, .tsv, .txt and .parquet files, by name) and "-"
// for CSV on the standard input. A file named twice is read once. It fails
// when a pattern names nothing or when the options contradict themselves; the
// files themselves are judged by Next.
func Open(patterns []string, opt Options) (*Source, error) {
	opt.MaxRecord, opt.BatchRows = cmp.Or(max(opt.MaxRecord, 0), 1<<20), cmp.Or(max(opt.BatchRows, 0), 4096)
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
	withheld, err := headers.withhold(opt.Withhold)
	if err != nil {
		return nil, err
	}
	paths, err := expand(patterns)
	if err != nil {
		return nil, err
	}
	s := &Source{opt: opt, rules: rules, headers: headers, withheld: withheld, paths: paths, from: map[string][]string{},
		extras: extras{byKey: map[string][]int{}, taken: map[string]bool{}}}
	for _, p := range paths {
		if p == "-" {
			p = "standard input"
		}
		s.files = append(s.files, Printable(p))
		s.inputs = append(s.inputs, Input{Name: Printable(p)})
	}
	return s, nil
}

func expand(patterns []string) (paths []string, err error) {
	if len(patterns) == 0 {
		return nil, fmt.Errorf("no inventory given: name a file, a folder, a glob, or - for the standard input")
	}
	for _, pat := range patterns {
		matches := []string{pat}
		if _, err := os.Stat(pat); err != nil && pat != "-" {
			if matches, err = filepath.Glob(pat); err != nil {
				return nil, fmt.Errorf("inventory %q: the pattern is malformed: %w", pat, err)
			}
			if len(matches) == 0 {
				return nil, fmt.Errorf("inventory %q: no such file; check the path, or quote the pattern", pat)
			}
			slices.Sort(matches)
		}
		var found []string
		for _, m := range matches {
			m = filepath.Clean(m)
			if info, err := os.Stat(m); err != nil || !info.IsDir() || pat == "-" {
				found = append(found, m)
				continue
			}
			entries, err := os.ReadDir(m) // sorted
			if err != nil {
				return nil, fmt.Errorf("inventory %q: %w", m, err)
			}
			for _, e := range entries { // not those of folders inside
				ext := strings.ToLower(filepath.Ext(e.Name()))
				if !e.IsDir() && !strings.HasPrefix(e.Name(), ".") && slices.Contains([]string{".csv", ".tsv", ".txt", ".parquet"}, ext) {
					found = append(found, filepath.Join(m, e.Name()))
				}
			}
		}
		if len(found) == 0 {
			return nil, fmt.Errorf("inventory %q: the folder holds no .csv, .tsv, .txt or .parquet file", pat)
		}
		for _, p := range found {
			if !slices.Contains(paths, p) {
				paths = append(paths, p)
			}
		}
	}
	return paths, nil
}

// Regular says whether every input is a file that can be read twice. Streams
// cannot: what a first reading takes from them is gone.
func (s *Source) Regular() bool {
	return !slices.ContainsFunc(s.paths, func(p string) bool {
		info, err := os.Stat(p)
		return p == "-" || err != nil || !info.Mode().IsRegular()
	})
}

// Inputs returns the files with the hash of what was read of them. It is
// complete once Next has returned io.EOF.
func (s *Source) Inputs() []Input {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.inputs)
}

// Names are what rows refer to by number, Printable. Read at the end, they are all
// that whoever writes rows needs of the inventories.
type Names struct {
	Files []string // display names, by Building.File
	// Extras are the ride-through columns met so far, over all files, in the order
	// they were first met, by Building.Extra index. The place of a name never
	// changes. Columns of two files are one if they differ only in upper case,
	// spaces and punctuation; the first spelling stays. Columns of one file are kept
	// apart: the second of a name gets " (2)" behind it.
	Extras []string
}

// Names returns the names met so far.
func (s *Source) Names() Names {
	s.mu.Lock()
	defer s.mu.Unlock()
	return Names{slices.Clone(s.files), slices.Clone(s.extras.names)}
}

// ExtraColumn returns the index of a ride-through column by its name, -1 where no
// file has it. Upper case, spaces and punctuation count only where they tell two
// columns apart.
func (n Names) ExtraColumn(name string) int {
	if i := slices.Index(n.Extras, name); i >= 0 {
		return i
	}
	return slices.IndexFunc(n.Extras, func(x string) bool { return extraKey(x) == extraKey(name) })
}

// Notes returns remarks on files that were read all the same, such as a column
// name that is close to a known one. Where a Seen checks the ids, it must be done.
func (s *Source) Notes() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := slices.Clone(s.notes)
	for _, name := range s.opt.Withhold {
		if !s.withheld[extraKey(name)] {
			out = append(out, fmt.Sprintf("output.withhold names %q, which no inventory has%s: nothing was withheld by it", name, DidYouMean(name, s.extras.names)))
		}
	}
	if s.seen != nil && s.seen.alike > 0 {
		out = append(out, fmt.Sprintf("ids that differ from another in case or in the form of letters alone, and count as buildings of their own: %d; the first are %s", s.seen.alike, s.seen.pair))
	}
	return out
}

// note keeps a remark on the file being read.
func (s *Source) note(format string, args ...any) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.notes = append(s.notes, Printable(s.files[s.file]+": "+fmt.Sprintf(format, args...)))
}

// Next returns the next batch, or io.EOF after the last. Trouble with a file
// comes as a Reject in a batch; an error is returned only when ctx ends, even if the
// read hangs, as one from a silent standard input does. After that s is left alone.
func (s *Source) Next(ctx context.Context) (*Batch, error) {
	got := make(chan *Batch, 1)
	go func() { got <- s.next(ctx) }()
	select {
	case b := <-got:
		if b == nil && ctx.Err() == nil {
			return nil, io.EOF
		}
		return b, ctx.Err()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func (s *Source) next(ctx context.Context) *Batch {
	for s.file < len(s.paths) {
		var rej *Reject
		if s.cur == nil {
			s.any, rej = false, s.open(ctx)
		}
		b, more := s.gather(), rej == nil
		for more && max(len(b.lines), len(b.rejects)) < s.opt.BatchRows && b.size < batchBytes {
			rej, more = s.cur.row(b)
		}
		if !more {
			s.finish()
			s.file++
			if rej == nil && !s.any && b.empty() {
				rej = whole(0, "the file has a header but no rows", "add the rows, or leave the file out")
			}
			if rej != nil {
				rej.File = s.files[b.file]
				b.rejects = append(b.rejects, *rej)
			}
		}
		if s.any = s.any || !b.empty(); !b.empty() {
			return b.seal()
		}
	}
	return nil
}

// Close gives up the file being read. It is needed only when Next was not
// called to its end.
func (s *Source) Close() {
	if s.in != nil {
		s.in.file.Close()
	}
	s.cur, s.in, s.file = nil, nil, len(s.paths)
}

// input is an open file, or the standard input, that is hashed while it is read.
type input struct {
	io.Reader
	ctx   context.Context // under which it may be read
	file  *os.File        // nil for the standard input
	info  fs.FileInfo     // nil for streams
	sum   hash.Hash
	ended bool
}

func (in *input) Read(p []byte) (int, error) {
	if err := in.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := in.Reader.Read(p)
	in.sum.Write(p[:n])
	in.ended = in.ended || err == io.EOF
	return n, err
}

// finish closes the file being read and keeps its hash. What was not read of a
// regular file, and all that was read of it at will, is passed through first.
func (s *Source) finish() {
	in := s.in
	s.cur, s.in = nil, nil
	if in == nil {
		return
	}
	defer in.file.Close()
	if in.info != nil {
		io.Copy(io.Discard, in) //nolint:errcheck // then there is no hash
		if now, err := in.file.Stat(); err != nil || now.Size() != in.info.Size() || !now.ModTime().Equal(in.info.ModTime()) {
			s.note("the file changed while it was read; run again")
			return
		}
	}
	if in.ended {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.inputs[s.file].SHA256 = hex.EncodeToString(in.sum.Sum(nil))
	}
}

// open opens the file and tells CSV from Parquet by its first bytes.
func (s *Source) open(ctx context.Context) (rej *Reject) {
	name, path := s.files[s.file], s.paths[s.file]
	in := &input{Reader: s.opt.Stdin, ctx: ctx, sum: sha256.New()}
	if path != "-" {
		f, err := os.Open(path)
		if err != nil {
			return whole(0, fmt.Sprintf("the file cannot be opened: %v", err), "check the path and the permissions")
		}
		in.Reader, in.file = f, f
		switch info, err := f.Stat(); {
		case err != nil || info.IsDir():
			f.Close()
			return whole(0, "this is a folder, not a file", "name the folder itself or the files in it")
		case info.Mode().IsRegular():
			in.info = info
		}
	}
	s.in = in
	head := make([]byte, sniffBytes)
	n, err := io.ReadFull(in, head)
	head = head[:n]
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return whole(0, fmt.Sprintf("the file cannot be read: %v", err), "check the disk or the permissions")
	}
	kind := notCSV(head)
	switch isParquet := bytes.HasPrefix(head, []byte("PAR1")) || bytes.HasPrefix(head, []byte("PARE")); {
	case n == 0:
		return whole(0, "the file is empty", "a header line and at least one row are expected")
	case kind != "":
		return whole(0, "the file is "+kind, "export it as CSV or Parquet")
	case isParquet && in.info == nil:
		return whole(0, "Parquet cannot be read from the standard input or another stream", "name a file instead")
	case isParquet:
		s.cur, rej = openParquet(s, in)
	case strings.EqualFold(filepath.Ext(name), ".parquet"):
		return whole(0, "the file is not Parquet: it does not begin with PAR1", "export it again, or name it .csv if it is CSV")
	default:
		s.cur, rej = openCSV(s, in, head)
	}
	return rej
}
