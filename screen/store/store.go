package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"sync"
	"sync/atomic"
)

// Store is an open folder of results. Its methods may be called at the same
// time from any number of goroutines; Close comes last.
type Store struct {
	dir, method, tag string

	mu       sync.RWMutex
	closed   bool
	segments []*segment
	// index leads from the first eight bytes of a key to its place. Of two keys
	// that begin alike the second is a miss: the whole key is held against the
	// record. Keys are hashes, so that does not happen in practice.
	index map[uint64]place
	notes []string

	writing sync.Mutex
	own     *writer // nil until something is put
	ownAt   int     // its place in segments
	off     bool    // nothing is written any more

	hits, misses, damaged, written atomic.Int64
}

// place packs a segment (upper 24 bits) and a record in it (lower 40).
type place uint64

func placeOf(segment int, record int64) place { return place(segment)<<40 | place(record) }

func (p place) segment() int  { return int(p >> 40) }
func (p place) record() int64 { return int64(p & (1<<40 - 1)) }

// Counters say how a store was used since it was opened.
type Counters struct {
	Entries int   // that can be read now
	Hits    int64 // Get found it
	Misses  int64 // Get did not, for whatever reason
	Damaged int64 // entries and segments that failed their checksum
	Written int64 // entries Put wrote
}

// Open opens the store in a folder for one method and makes the folder where it
// is missing. Results of different methods never meet: the name must change
// with everything that changes a value and is not in its key. A folder that
// cannot be written to is read, and Notes says so. Open fails when the folder
// cannot be made or read.
func Open(dir, method string) (*Store, error) {
	if method == "" || len(method) > maxMethod {
		return nil, fmt.Errorf("store: a method name of 1 to %d bytes was expected, got %d", maxMethod, len(method))
	}
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, fmt.Errorf("store %s: this is a file; name a folder", dir)
	}
	s := &Store{dir: dir, method: method, tag: tag(method), index: map[uint64]place{}}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("store: making the folder: %w", err)
	}
	if err := s.openAll(); err != nil {
		return nil, fmt.Errorf("store: reading the folder: %w", err)
	}
	if err := probe(dir); err != nil {
		s.off = true
		s.notes = append(s.notes, fmt.Sprintf("the store %s is only read, new results are not kept in it: %v", dir, err))
	}
	return s, nil
}

// probe finds out whether the folder can be written to.
func probe(dir string) error {
	f, err := os.CreateTemp(dir, ".probe-")
	if err != nil {
		return err
	}
	f.Close()
	return os.Remove(f.Name())
}

// openAll opens every segment. One that vanishes meanwhile was merged into a
// segment that the list may not have held yet, so the list is read again.
func (s *Store) openAll() error {
	for try := 0; ; try++ {
		numbers, err := s.numbers(keysSuffix)
		if err != nil {
			return err
		}
		missing, foreign := false, int64(0)
		for _, n := range numbers {
			seg, err := s.openSegment(n)
			switch {
			case err == nil:
				s.segments = append(s.segments, seg)
			case errors.Is(err, fs.ErrNotExist):
				missing = true
			case errors.Is(err, io.EOF):
			default:
				foreign++
			}
		}
		if missing && try < 5 {
			for _, seg := range s.segments {
				seg.close()
			}
			s.segments = nil
			continue
		}
		s.damaged.Add(foreign)
		break
	}
	total := int64(0)
	for _, seg := range s.segments {
		total += seg.records
	}
	s.index = make(map[uint64]place, total)
	for i, seg := range s.segments { // oldest first: what was written again after damage counts
		err := seg.each(func(k int64, r *record) {
			if r == nil {
				s.damaged.Add(1)
				return
			}
			s.index[prefix(&r.key)] = placeOf(i, k)
		})
		if err != nil {
			s.damaged.Add(1) // the rest of the segment cannot be read
		}
	}
	return nil
}

func prefix(key *[32]byte) uint64 { return binary.LittleEndian.Uint64(key[:]) }

// Get returns the value of a key. The key is a hash such as SHA-256, the slice
// belongs to the caller. An entry that is damaged is forgotten, so that the
// value, once computed again, can be put.
func (s *Store) Get(key [32]byte) ([]byte, bool) {
	s.mu.RLock()
	at, found := s.index[prefix(&key)]
	if !found || s.closed {
		s.mu.RUnlock()
		s.misses.Add(1)
		return nil, false
	}
	// The lock is held while reading, so that Close cannot come between.
	seg := s.segments[at.segment()]
	r, ok := seg.record(at.record())
	other := ok && r.key != key
	var value []byte
	if ok && !other {
		value, ok = seg.value(&r)
	}
	s.mu.RUnlock()
	if ok && !other {
		s.hits.Add(1)
		return value, true
	}
	s.misses.Add(1)
	if !other {
		s.forget(prefix(&key), at)
	}
	return nil, false
}

// forget drops a damaged entry, unless another goroutine did or it was put
// again.
func (s *Store) forget(p uint64, at place) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.index[p] == at {
		delete(s.index, p)
		s.damaged.Add(1)
	}
}

// Put keeps a value under a key. A key that is kept already is left alone: equal
// keys have equal values. Where the folder is only read, Put does nothing. The
// first write that fails returns its error and is the last: after it the store
// is only read, so that a full disk costs one message and not the run.
func (s *Store) Put(key [32]byte, value []byte) error {
	if len(value) > maxValue {
		return fmt.Errorf("store: a value of %d bytes, at most %d are kept", len(value), maxValue)
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	if s.off {
		return nil
	}
	p := prefix(&key)
	s.mu.RLock()
	_, kept := s.index[p]
	s.mu.RUnlock()
	if kept {
		return nil
	}
	k, err := s.append(&key, value)
	if err != nil {
		s.off = true
		err = fmt.Errorf("store %s: writing failed, new results are not kept any more: %w", s.dir, err)
		s.mu.Lock()
		s.notes = append(s.notes, err.Error())
		s.mu.Unlock()
		return err
	}
	s.mu.Lock()
	s.index[p] = placeOf(s.ownAt, k)
	s.mu.Unlock()
	s.written.Add(1)
	return nil
}

func (s *Store) append(key *[32]byte, value []byte) (int64, error) {
	if s.own == nil {
		w, err := s.newWriter()
		if err != nil {
			return 0, err
		}
		s.mu.Lock()
		s.own, s.ownAt = w, len(s.segments)
		s.segments = append(s.segments, &w.segment)
		s.mu.Unlock()
	}
	return s.own.add(key, value)
}

// Counters returns how the store was used so far.
func (s *Store) Counters() Counters {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return Counters{Entries: len(s.index), Hits: s.hits.Load(), Misses: s.misses.Load(), Damaged: s.damaged.Load(), Written: s.written.Load()}
}

// Notes says what the user should know: that the folder is only read, or why
// writing ended.
func (s *Store) Notes() []string {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return append([]string(nil), s.notes...)
}

// Close ends the store and merges small segments, as the package says. After it
// Get misses and Put does nothing. A second Close does nothing.
func (s *Store) Close() error {
	s.writing.Lock()
	defer s.writing.Unlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil
	}
	readOnly := s.off
	s.closed, s.off, s.index = true, true, nil
	for _, seg := range s.segments {
		seg.close()
	}
	s.segments, s.own = nil, nil
	if readOnly || !canLock {
		return nil
	}
	if err := s.merge(); err != nil {
		return fmt.Errorf("store %s: merging segments: %w", s.dir, err)
	}
	return nil
}
