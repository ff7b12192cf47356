package store

import (
	"errors"
	"io/fs"
	"os"
)

// copyAll copies what is worth keeping of the segments to a new one and removes
// them. A reader may open the new segment at any moment: it is whole from its
// first record on. A process killed on the way leaves entries twice, which the
// next merge puts right.
func (s *Store) copyAll(v *view, list []idle) error {
	var w *writer
	defer func() {
		if w != nil {
			w.close()
		}
	}()
	var copied []idle
	for _, i := range list {
		dropped := int64(0)
		if i.at < 0 {
			if err := s.remove(i.number); err != nil {
				return err
			}
			continue
		}
		seg := v.segments[i.at]
		var failed error
		err := seg.each(func(k int64, r *record) {
			if r == nil || failed != nil {
				return
			}
			at, ok := v.index[prefix(&r.key)]
			if !ok || int(at.segment) != i.at || int64(at.record) != k {
				return // there is a newer one
			}
			if s.ages.expired(at.day) {
				dropped++
				return
			}
			value, ok := seg.value(r)
			if !ok {
				return
			}
			if w == nil {
				if w, failed = s.newWriter(); failed != nil {
					return
				}
			}
			_, failed = w.add(&r.key, value, at.day)
		})
		if err = errors.Join(failed, err); err != nil {
			if w != nil {
				s.remove(w.number)
			}
			return err
		}
		s.dropped.Add(dropped)
		if w != nil {
			copied = append(copied, i)
			continue
		}
		if err := s.remove(i.number); err != nil { // frees room for the others
			return err
		}
	}
	if w != nil { // before the only other copy goes
		if err := w.sync(); err != nil {
			return err
		}
	}
	for _, i := range copied {
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
