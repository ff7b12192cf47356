package store

import (
	"fmt"
	"os"
	"sync"
	"sync/atomic"
)

// Store is an open folder of results. Its methods may be called at the same
// time from any number of goroutines; Close comes last.
type Store struct {
	dir, method, tag string
	ages             ages

	mu      sync.RWMutex
	closed  bool
	view    *view
	entries int // at the end
	notes   []string

	writing sync.Mutex
	own     *writer // nil until something is put
	ownAt   uint16  // its place in view.segments
	off     bool    // nothing is written any more
	sealed  bool    // the folder cannot be written to

	hits, misses, damaged, written, renewed, dropped atomic.Int64
}

// Counters say how a store was used since it was opened. Entries is of the end
// once it is closed.
type Counters struct {
	Entries int   // that can be read now
	Hits    int64 // Get found it
	Misses  int64 // Get did not, for whatever reason
	Damaged int64 // entries and segments that failed their checksum
	Written int64 // entries Put wrote
	Renewed int64 // entries written anew because they were asked for
	Dropped int64 // entries Close left out because nobody asked for them
}

// Open opens the store in a folder for one method and makes the folder where it
// is missing. Results of different methods never meet: the name must change
// with everything that changes a value and is not in its key. What no run asks
// for in so many days may be dropped by Close, 0 keeps it for ever. A folder
// that cannot be written to is read, and Notes says so. Open fails when the
// folder cannot be made or read.
func Open(dir, method string, days int) (*Store, error) {
	if method == "" || len(method) > maxMethod {
		return nil, fmt.Errorf("store: a method name of 1 to %d bytes was expected, got %d", maxMethod, len(method))
	}
	ages, err := newAges(days)
	if err != nil {
		return nil, err
	}
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, fmt.Errorf("store %s: this is a file; name a folder", dir)
	}
	s := &Store{dir: dir, method: method, tag: tag(method), ages: ages}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("store: making the folder: %w", err)
	}
	if s.view, err = s.look(); err != nil {
		return nil, fmt.Errorf("store: reading the folder: %w", err)
	}
	s.damaged.Add(s.view.damaged)
	if err := probe(dir); err != nil {
		s.off, s.sealed = true, true
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

// Get returns the value of a key. The key is a hash such as SHA-256, the slice
// belongs to the caller. An entry that is damaged is forgotten, so that the
// value, once computed again, can be put.
func (s *Store) Get(key [32]byte) ([]byte, bool) {
	p := prefix(&key)
	s.mu.RLock()
	if s.closed {
		s.mu.RUnlock()
		s.misses.Add(1)
		return nil, false
	}
	at, found := s.view.index[p]
	if !found {
		s.mu.RUnlock()
		s.misses.Add(1)
		return nil, false
	}
	// The lock is held while reading, so that Close cannot come between.
	seg := s.view.segments[at.segment]
	r, ok := seg.record(int64(at.record))
	other := ok && r.key != key
	var value []byte
	if ok && !other {
		value, ok = seg.value(&r)
	}
	s.mu.RUnlock()
	if ok && !other {
		s.hits.Add(1)
		if s.ages.stale(at.day) {
			s.renew(&key, value, at)
		}
		return value, true
	}
	s.misses.Add(1)
	if !other {
		s.forget(p, at)
	}
	return nil, false
}

// forget drops a damaged entry, unless another goroutine did or it was put
// again.
func (s *Store) forget(p uint64, at place) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.closed && s.view.index[p] == at {
		delete(s.view.index, p)
		s.damaged.Add(1)
	}
}

// Put keeps a value under a key. A key that is kept already is left alone: equal
// keys have equal values. Where the folder is only read, Put does nothing. The
// first write that fails is the last: after it the store is only read, and Notes
// says why, so that a full disk costs one message and not the run. Put itself
// fails on values that are too large, and on nothing else.
func (s *Store) Put(key [32]byte, value []byte) error {
	if len(value) > maxValue {
		return fmt.Errorf("store: a value of %d bytes, at most %d are kept", len(value), maxValue)
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	if s.off {
		return nil
	}
	s.mu.RLock()
	_, kept := s.view.index[prefix(&key)]
	s.mu.RUnlock()
	if !kept && s.append(&key, value) {
		s.written.Add(1)
	}
	return nil
}

// renew writes an entry that was asked for with the day of today, unless another
// goroutine did.
func (s *Store) renew(key *[32]byte, value []byte, was place) {
	s.writing.Lock()
	defer s.writing.Unlock()
	if s.off {
		return
	}
	s.mu.RLock()
	at := s.view.index[prefix(key)]
	s.mu.RUnlock()
	if at == was && s.append(key, value) {
		s.renewed.Add(1)
	}
}

// append writes to the segment of this process, and ends writing where that
// fails. The lock of writers is held.
func (s *Store) append(key *[32]byte, value []byte) bool {
	k, err := s.add(key, value)
	s.mu.Lock()
	defer s.mu.Unlock()
	if err != nil {
		s.off = true
		s.notes = append(s.notes, fmt.Sprintf("the store %s: writing failed, new results are not kept any more: %v", s.dir, err))
		return false
	}
	s.view.index[prefix(key)] = place{record: uint32(k), segment: s.ownAt, day: s.ages.today}
	return true
}

func (s *Store) add(key *[32]byte, value []byte) (int64, error) {
	if s.own == nil {
		w, err := s.newWriter()
		if err != nil {
			return 0, err
		}
		s.mu.Lock()
		s.own, s.ownAt = w, uint16(len(s.view.segments))
		s.view.segments = append(s.view.segments, &w.segment)
		s.mu.Unlock()
	}
	return s.own.add(key, value, s.ages.today)
}

// Counters returns how the store was used so far.
func (s *Store) Counters() Counters {
	s.mu.RLock()
	defer s.mu.RUnlock()
	c := Counters{Entries: s.entries, Hits: s.hits.Load(), Misses: s.misses.Load(), Damaged: s.damaged.Load(),
		Written: s.written.Load(), Renewed: s.renewed.Load(), Dropped: s.dropped.Load()}
	if !s.closed {
		c.Entries = len(s.view.index)
	}
	return c
}

// Notes says what the user should know: that the folder is only read, why
// writing ended, that something in it is damaged. None of it changes a result.
func (s *Store) Notes() []string {
	s.mu.RLock()
	defer s.mu.RUnlock()
	out := append([]string(nil), s.notes...)
	if n := s.damaged.Load(); n > 0 {
		out = append(out, fmt.Sprintf("the store %s: %d damaged entries or files were passed by; what they held is computed again", s.dir, n))
	}
	return out
}

// Close ends the store and puts its folder in order, as the package says. After
// it Get misses and Put does nothing. A second Close does nothing. An error says
// that the folder could not be put in order; no result is lost by that.
func (s *Store) Close() error {
	s.writing.Lock()
	defer s.writing.Unlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil
	}
	s.closed, s.off, s.entries = true, true, len(s.view.index)
	due := !s.sealed && canLock && s.due() // also where the disk is full: it may free some
	if due && s.own != nil {               // what it renewed may soon have no other copy
		s.own.sync()
	}
	s.view.close()
	s.view, s.own = nil, nil
	if !due {
		return nil
	}
	if err := s.tidy(); err != nil {
		return fmt.Errorf("store %s: putting the folder in order: %w", s.dir, err)
	}
	return nil
}
