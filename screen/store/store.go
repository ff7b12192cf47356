// Package store keeps results between runs, so that a second run computes only
// what changed. It owns the files in its folder and refuses to know what a key
// or a value means.
//
// Everything in it can be computed again, so nothing here stops a run: a record
// that is damaged is a miss, one that cannot be read is a miss that is told, a
// disk that is full ends the keeping and not the run.
//
// A record is one file, XX/REST.record, named after a hash of format, method and
// key: a checksum of name and contents, then the value, compressed. It is written
// under a name of its own and renamed, so that any number of processes may share
// a folder, and one that is killed leaves whole records or none. Nothing is
// synced: what a power cut damages, the checksum finds.
package store

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync/atomic"
	"time"

	"github.com/cespare/xxhash/v2"
	"github.com/klauspost/compress/zstd"
)

const (
	format    = "wallsift store 2\n" // changes with the layout of a record
	sumBytes  = 8
	day       = 24 * time.Hour
	abandoned = time.Hour // age of a half-written file that is nobody's: writing one takes milliseconds
)

// ownName is of what the store may remove, below its folder: records, and with a
// second ending half-written ones. All other names are a stranger's.
var ownName = regexp.MustCompile(`^/?[0-9a-f]{2}/[0-9a-f]{62}\.record(\.[0-9a-f]{16})?$`)

// Store is an open folder of results, for any number of goroutines.
type Store struct {
	dir, method string
	pack        *zstd.Encoder
	unpack      *zstd.Decoder
	off         atomic.Bool // nothing is written any more

	hits, misses, damaged, unreadable, written, dropped atomic.Int64
	// The first of its kind.
	readError, writeError atomic.Pointer[error]
}

// Counters say how a store was used since it was opened.
type Counters struct {
	Hits    int64 // Get found it
	Misses  int64 // Get did not, for whatever reason
	Damaged int64 // records that failed their checksum, and were removed
	Written int64 // records Put wrote
	Dropped int64 // records Tidy removed because nobody used them
}

// Open opens the store in a folder, which it makes where it is missing. Results
// of different methods never meet: the name must change with everything that
// changes a value and is not in its key. Open fails when there is no method, or
// the folder cannot be made.
func Open(dir, method string) (*Store, error) {
	if method == "" {
		return nil, errors.New("store: a method was expected, got none")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("store: making the folder: %w", err)
	}
	pack, _ := zstd.NewWriter(nil, zstd.WithLowerEncoderMem(true)) // only options that are not possible fail
	unpack, _ := zstd.NewReader(nil, zstd.WithDecoderConcurrency(0))
	return &Store{dir: dir, method: method, pack: pack, unpack: unpack}, nil
}

func (s *Store) path(key *[32]byte) string {
	name := fmt.Sprintf("%x", sha256.Sum256(append([]byte(format+s.method), key[:]...)))
	return filepath.Join(s.dir, name[:2], name[2:]+".record")
}

// checksum covers the name too, so that the record of another key is no match.
func checksum(path string, packed []byte) uint64 {
	d := xxhash.New()
	d.WriteString(filepath.Base(path))
	d.Write(packed)
	return d.Sum64()
}

// Get returns the value of a key; the slice belongs to the caller. A hit is noted
// in the time of the file, at most once a day, for Tidy to see.
func (s *Store) Get(key [32]byte) ([]byte, bool) {
	path := s.path(&key)
	b, err := os.ReadFile(path)
	if err == nil && len(b) >= sumBytes && binary.LittleEndian.Uint64(b) == checksum(path, b[sumBytes:]) {
		if value, err := s.unpack.DecodeAll(b[sumBytes:], nil); err == nil {
			s.hits.Add(1)
			touch(path)
			return value, true
		}
	}
	s.misses.Add(1)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		s.unreadable.Add(1)
		s.readError.CompareAndSwap(nil, &err)
	default:
		s.damaged.Add(1)
		os.Remove(path) // where that fails it stays a miss
	}
	return nil, false
}

// touch sets the time of a file to now where it is a day off. One that lies ahead
// is from a clock that was wrong, and would keep the file for ever.
func touch(path string) {
	info, err := os.Stat(path)
	if now := time.Now(); err == nil && now.Sub(info.ModTime()).Abs() > day {
		os.Chtimes(path, now, now) // where that fails the record goes before its time
	}
}

// Put keeps a value under a key. The first write that fails is the last: Notes
// says so, and from then on Put does nothing. A run goes on without.
func (s *Store) Put(key [32]byte, value []byte) {
	if s.off.Load() {
		return
	}
	path := s.path(&key)
	packed := s.pack.EncodeAll(value, make([]byte, sumBytes))
	binary.LittleEndian.PutUint64(packed, checksum(path, packed[sumBytes:]))
	err := write(path, packed)
	if err == nil {
		s.written.Add(1)
		return
	}
	s.off.Store(true)
	s.writeError.CompareAndSwap(nil, &err)
}

// write puts a whole file in place, or none.
func write(path string, b []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	writing := fmt.Sprintf("%s.%016x", path, rand.Uint64())
	f, err := os.OpenFile(writing, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(b)
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(writing, path)
	}
	if err != nil {
		os.Remove(writing)
	}
	return err
}

// Tidy removes the records, of whatever method, that nobody used for an age and a
// day (use is noted once a day), and what killed processes left half-written. An
// age of 0 keeps records for ever. Files with other names are left alone. The
// error is the first of what could not be removed; no result is lost by that.
func (s *Store) Tidy(maxAge time.Duration) (failed error) {
	note := func(err error) {
		if err != nil && failed == nil && !errors.Is(err, fs.ErrNotExist) { // else another process removed it
			failed = fmt.Errorf("store %s: removing what is not used: %w", s.dir, err)
		}
	}
	filepath.WalkDir(s.dir, func(path string, f fs.DirEntry, err error) error {
		ours := ownName.FindStringSubmatch(filepath.ToSlash(strings.TrimPrefix(path, filepath.Clean(s.dir))))
		if err != nil || ours == nil || !f.Type().IsRegular() {
			note(err)
			return nil
		}
		record, keep := ours[1] == "", maxAge+day
		if !record {
			keep = abandoned
		}
		info, err := f.Info()
		switch {
		case err != nil || record && maxAge <= 0:
			note(err)
		case time.Until(info.ModTime()) > day:
			touch(path)
		case time.Since(info.ModTime()) > keep:
			if err := os.Remove(path); err != nil {
				note(err)
			} else if record {
				s.dropped.Add(1)
			}
		}
		return nil
	})
	return failed
}

// Counters returns how the store was used so far.
func (s *Store) Counters() Counters {
	return Counters{s.hits.Load(), s.misses.Load(), s.damaged.Load(), s.written.Load(), s.dropped.Load()}
}

// Notes says what the user should know. None of it changes a result.
func (s *Store) Notes() (out []string) {
	if err := s.writeError.Load(); err != nil {
		out = append(out, fmt.Sprintf("store %s: writing failed, new results are not kept any more: %v", s.dir, *err))
	}
	if n := s.damaged.Load(); n > 0 {
		out = append(out, fmt.Sprintf("store %s: damaged records removed: %d; what they held is computed again", s.dir, n))
	}
	if err := s.readError.Load(); err != nil {
		out = append(out, fmt.Sprintf("store %s: records that cannot be read: %d, the first because of: %v; what they hold is computed again", s.dir, s.unreadable.Load(), *err))
	}
	return out
}

// Close ends the store: from then on Put does nothing.
func (s *Store) Close() { s.off.Store(true) }
