package store

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// MergeFrom is the number of small idle segments of a method from which on
// Close merges.
const MergeFrom = 8

const (
	smallSegment = 32 << 20 // bytes of values below which a segment is small
	mergeAtMost  = 64 << 20 // bytes of values copied by one Close
	mergeLock    = "merge.lock"
)

// idle is a segment that nobody writes to, held by the lock on held.
type idle struct {
	number uint64
	size   int64
	held   *os.File
}

// merge copies the smallest idle segments into one. It gives up at once when
// another process merges.
func (s *Store) merge() error {
	numbers, err := s.numbers(keysSuffix)
	if err != nil || len(numbers) < MergeFrom {
		return err
	}
	lock, err := os.OpenFile(filepath.Join(s.dir, mergeLock), os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return err
	}
	defer lock.Close()
	if !tryLock(lock) {
		return nil
	}
	if err := s.sweep(); err != nil {
		return err
	}
	list := s.hold(numbers)
	defer func() {
		for _, i := range list {
			i.held.Close()
		}
	}()
	if len(list) < MergeFrom {
		return nil
	}
	slices.SortStableFunc(list, func(a, b idle) int { return cmp.Compare(a.size, b.size) })
	total, take := int64(0), 0
	for take < len(list) && total+list[take].size <= mergeAtMost {
		total += list[take].size
		take++
	}
	return s.copyAll(list[:take])
}

// hold locks the small segments that can be locked. It leaves alone what has a
// header that is damaged or of another method.
func (s *Store) hold(numbers []uint64) []idle {
	var out []idle
	for _, n := range numbers {
		keys, err := os.OpenFile(s.path(n, keysSuffix), os.O_RDWR, 0)
		if err != nil {
			continue
		}
		info, err := os.Stat(s.path(n, valuesSuffix))
		size := int64(0)
		if err == nil {
			size = info.Size()
		}
		if (err != nil && !errors.Is(err, fs.ErrNotExist)) || size >= smallSegment || !tryLock(keys) {
			keys.Close()
			continue
		}
		if seg, err := s.openSegment(n); err == nil {
			seg.close()
		} else if errors.Is(err, errForeign) {
			keys.Close()
			continue
		}
		out = append(out, idle{number: n, size: size, held: keys})
	}
	return out
}

// copyAll copies the sound entries of the segments to a new one, each key once,
// and removes them. A reader may open the new segment at any moment: it is
// whole from its first record on. A process killed on the way leaves entries
// twice, which the next merge puts right.
func (s *Store) copyAll(list []idle) error {
	w, err := s.newWriter()
	if err != nil {
		return err
	}
	defer w.close()
	seen := map[[32]byte]bool{}
	var failed error
	for _, i := range list {
		seg, err := s.openSegment(i.number)
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, io.EOF) {
			continue // nothing was written to it
		}
		if err != nil {
			s.remove(w.number)
			return err
		}
		err = seg.each(func(_ int64, r *record) {
			if r == nil || failed != nil || seen[r.key] {
				return
			}
			if value, ok := seg.value(r); ok {
				seen[r.key] = true
				_, failed = w.add(&r.key, value)
			}
		})
		seg.close()
		if failed == nil {
			failed = err
		}
		if failed != nil {
			s.remove(w.number)
			return failed
		}
	}
	for _, f := range []*os.File{w.values, w.keys} { // before the only other copy goes
		if err := f.Sync(); err != nil {
			return err
		}
	}
	for _, i := range list {
		if err := s.remove(i.number); err != nil {
			return err
		}
	}
	return nil
}

// sweep removes values files whose keys are gone: a process was killed between
// removing the two. Keys are made first, so a file without them is nobody's.
func (s *Store) sweep() error {
	numbers, err := s.numbers(valuesSuffix)
	if err != nil {
		return err
	}
	for _, n := range numbers {
		if _, err := os.Stat(s.path(n, keysSuffix)); errors.Is(err, fs.ErrNotExist) {
			if err := s.remove(n); err != nil {
				return err
			}
		}
	}
	return nil
}
