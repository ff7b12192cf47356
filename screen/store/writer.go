package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// writer appends to a segment of its own. What a failed write left behind is
// written over by the next.
type writer struct{ segment }

// newWriter begins a segment with a number that nobody has and holds its lock.
func (s *Store) newWriter() (*writer, error) {
	taken, err := s.numbers(keysSuffix)
	if err != nil {
		return nil, err
	}
	number := uint64(1)
	if len(taken) > 0 {
		number = taken[len(taken)-1] + 1
	}
	for range 10000 { // more processes do not begin at the same moment
		w, err := s.claim(number)
		if err == nil {
			return w, nil
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
		number++
	}
	return nil, fmt.Errorf("no free name for a segment in %s", s.dir)
}

// claim takes a number, or fails with fs.ErrExist. A merge may take the new
// file for an idle one until the lock is held; so the file must still be the
// one at its path after that.
func (s *Store) claim(number uint64) (*writer, error) {
	const flags = os.O_RDWR | os.O_CREATE | os.O_EXCL
	path := s.path(number, keysSuffix)
	keys, err := os.OpenFile(path, flags, 0o644)
	if err != nil {
		return nil, err
	}
	if !tryLock(keys) || !sameFile(keys, path) {
		keys.Close()
		return nil, fs.ErrExist
	}
	values, err := os.OpenFile(s.path(number, valuesSuffix), flags, 0o644)
	if err != nil {
		os.Remove(path)
		keys.Close()
		return nil, err
	}
	w := &writer{segment{number: number, keys: keys, values: values}}
	h := header(s.method)
	w.head = int64(len(h))
	if _, err := keys.WriteAt(h, 0); err != nil {
		s.remove(number)
		w.close()
		return nil, err
	}
	return w, nil
}

func sameFile(f *os.File, path string) bool {
	a, errA := f.Stat()
	b, errB := os.Stat(path)
	return errA == nil && errB == nil && os.SameFile(a, b)
}

// add writes a value and then its record, and returns the number of the record.
func (w *writer) add(key *[32]byte, value []byte, day uint16) (int64, error) {
	if _, err := w.values.WriteAt(value, w.size); err != nil {
		return 0, err
	}
	r := record{key: *key, offset: w.size, length: uint32(len(value)), day: uint32(day), sum: sumOf(key, value)}
	if _, err := w.keys.WriteAt(r.encode(), w.head+w.records*recordBytes); err != nil {
		return 0, err
	}
	w.size += int64(len(value))
	w.records++
	return w.records - 1, nil
}

// sync waits until everything is on the disk.
func (w *writer) sync() error {
	return errors.Join(w.values.Sync(), w.keys.Sync())
}
