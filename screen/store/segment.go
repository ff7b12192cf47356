package store

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// segment is a pair of files: records and their values.
type segment struct {
	number       uint64
	keys, values *os.File
	head         int64 // bytes of the header
	records      int64 // whole records, of others' segments when it was opened
	size         int64 // bytes of values, likewise
}

const (
	keysSuffix   = ".keys"
	valuesSuffix = ".values"
)

// tag is the part of the file names that stands for format and method.
func tag(method string) string {
	sum := sha256.Sum256([]byte(method))
	return fmt.Sprintf("v%d-%s-", formatVersion, hex.EncodeToString(sum[:6]))
}

// segmentName tells the files of segments of this format: tag, number, suffix.
var segmentName = regexp.MustCompile(fmt.Sprintf(`^(v%d-[0-9a-f]{12}-)(\d{12})(\%s|\%s)$`, formatVersion, keysSuffix, valuesSuffix))

func withSuffix(path, suffix string) string {
	return strings.TrimSuffix(path, filepath.Ext(path)) + suffix
}

func (s *Store) path(number uint64, suffix string) string {
	return filepath.Join(s.dir, fmt.Sprintf("%s%012d%s", s.tag, number, suffix))
}

// numbers lists the segments of the method with a file of the suffix, oldest
// first.
func (s *Store) numbers(suffix string) ([]uint64, error) {
	list, err := os.ReadDir(s.dir) // sorted by name, and so by number
	if err != nil {
		return nil, err
	}
	var out []uint64
	for _, e := range list {
		name, ok := strings.CutPrefix(e.Name(), s.tag)
		if !ok {
			continue
		}
		if name, ok = strings.CutSuffix(name, suffix); !ok || len(name) != 12 {
			continue
		}
		var n uint64
		if _, err := fmt.Sscanf(name, "%d", &n); err == nil {
			out = append(out, n)
		}
	}
	return out, nil
}

var errForeign = errors.New("not a segment of this method")

// openSegment opens a segment for reading. It fails with fs.ErrNotExist when
// one of the files is gone, with errForeign when the header is not the one of
// the method.
func (s *Store) openSegment(number uint64) (*segment, error) {
	keys, err := os.Open(s.path(number, keysSuffix))
	if err != nil {
		return nil, err
	}
	want := header(s.method)
	begin := make([]byte, len(want))
	if n, err := io.ReadFull(keys, begin); err != nil || !matches(begin, s.method) {
		keys.Close()
		if n == 0 {
			return nil, io.EOF // no header yet: begun by a process that has written nothing
		}
		return nil, errForeign
	}
	values, err := os.Open(s.path(number, valuesSuffix))
	if err != nil {
		keys.Close()
		return nil, err
	}
	seg := &segment{number: number, keys: keys, values: values, head: int64(len(want))}
	k, err := keys.Stat()
	if err != nil {
		seg.close()
		return nil, err
	}
	v, err := values.Stat()
	if err != nil {
		seg.close()
		return nil, err
	}
	seg.records, seg.size = max(k.Size()-seg.head, 0)/recordBytes, v.Size()
	return seg, nil
}

func (g *segment) close() {
	g.keys.Close()
	g.values.Close()
}

// each reads the records in order. A damaged one is given as nil, unless it is
// the last, which a writer may not have finished. The record is f's until it
// returns.
func (g *segment) each(f func(i int64, r *record)) error {
	const some = 1 << 14 // records read at once, 1 MiB
	buf := make([]byte, min(g.records, some)*recordBytes)
	var r record // of all rounds: f keeps none
	for at := int64(0); at < g.records; {
		n := min(g.records-at, some)
		chunk := buf[:n*recordBytes]
		if _, err := g.keys.ReadAt(chunk, g.head+at*recordBytes); err != nil {
			return err
		}
		for i := range n {
			switch {
			case r.decode(chunk[i*recordBytes : (i+1)*recordBytes]):
				f(at+i, &r)
			case at+i < g.records-1:
				f(at+i, nil)
			}
		}
		at += n
	}
	return nil
}

// record reads one record, false when it is damaged or cannot be read.
func (g *segment) record(i int64) (r record, ok bool) {
	var b [recordBytes]byte
	if _, err := g.keys.ReadAt(b[:], g.head+i*recordBytes); err != nil {
		return r, false
	}
	return r, r.decode(b[:])
}

// value reads the value of a record, false when it is damaged or cannot be read.
func (g *segment) value(r *record) ([]byte, bool) {
	b := make([]byte, r.length)
	if _, err := g.values.ReadAt(b, r.offset); err != nil && !(errors.Is(err, io.EOF) && len(b) == 0) {
		return nil, false
	}
	return b, sumOf(&r.key, b) == r.sum
}

// remove deletes the files. Keys go first: a values file alone is nobody's.
func (s *Store) remove(number uint64) error {
	return removeFiles(s.path(number, keysSuffix), s.path(number, valuesSuffix))
}

func removeFiles(paths ...string) error {
	for _, path := range paths {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}
