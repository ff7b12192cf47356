package store

import (
	"cmp"
	"errors"
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

// wasteful says whether so much of a segment is worth nothing that it is to be
// copied: half, or all of none.
func wasteful(live, records int64) bool { return 2*(records-live) >= records }

// due says whether there may be something to put in order. It goes by what was
// there when the store was opened, and asks no lock.
func (s *Store) due() bool {
	small, live := 0, s.view.live(&s.ages)
	for i, seg := range s.view.segments {
		if wasteful(live[i], seg.records) {
			return true
		}
		if seg.size < smallSegment {
			small++
		}
	}
	return small >= MergeFrom || len(s.view.empty) > 0 || len(s.expiredFiles(s.view.foreign)) > 0
}

// idle is a segment that nobody writes to, held by the lock on held.
type idle struct {
	number uint64
	at     int   // in the view, -1 for one without a header
	copied int64 // bytes of values that would be copied, about
	held   *os.File
}

// tidy merges small segments, frees the room of entries that are worth nothing,
// and removes expired files. It gives up at once when another process is at it.
func (s *Store) tidy() error {
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
	v, err := s.look() // others wrote and merged meanwhile
	if err != nil {
		return err
	}
	defer v.close()
	for _, path := range s.expiredFiles(v.foreign) {
		if err := removeIdle(path); err != nil {
			return err
		}
	}
	list := s.choose(v)
	defer func() {
		for _, i := range list {
			i.held.Close()
		}
	}()
	return s.copyAll(v, list)
}

// choose locks the segments that are to be copied: those that are wasteful, and
// the small ones where there are many; the least work first. One is taken
// however large it is, or it would never have its turn.
func (s *Store) choose(v *view) []idle {
	live := v.live(&s.ages)
	var wanted, small []idle
	for _, n := range v.empty {
		wanted = append(wanted, idle{number: n, at: -1})
	}
	for i, seg := range v.segments {
		one := idle{number: seg.number, at: i, copied: seg.size / max(seg.records, 1) * live[i]}
		if wasteful(live[i], seg.records) {
			wanted = append(wanted, one)
		} else if seg.size < smallSegment {
			small = append(small, one)
		}
	}
	hold := func(list []idle) (held []idle) {
		for _, i := range list {
			keys, err := os.OpenFile(s.path(i.number, keysSuffix), os.O_RDWR, 0)
			if err != nil {
				continue
			}
			if !tryLock(keys) {
				keys.Close()
				continue
			}
			i.held = keys
			held = append(held, i)
		}
		return held
	}
	list := hold(wanted)
	if some := hold(small); len(some)+len(list) >= MergeFrom {
		list = append(list, some...)
	} else {
		for _, i := range some {
			i.held.Close()
		}
	}
	slices.SortStableFunc(list, func(a, b idle) int { return cmp.Compare(a.copied, b.copied) })
	total, take := int64(0), 0
	for take < len(list) && (total == 0 || total+list[take].copied <= mergeAtMost) {
		total += list[take].copied
		take++
	}
	for _, i := range list[take:] {
		i.held.Close()
	}
	return list[:take]
}

// expiredFiles lists keys files, and values files without one, that nothing was
// written to for longer than results are kept: those of other methods, and those
// of this one whose header is damaged. A method that is in use writes what it
// asks for anew before that.
func (s *Store) expiredFiles(foreign []uint64) []string {
	var out []string
	old := func(path string) bool {
		info, err := os.Stat(path)
		return err == nil && s.ages.expiredFile(info.ModTime())
	}
	for _, n := range foreign {
		if path := s.path(n, keysSuffix); old(path) {
			out = append(out, path)
		}
	}
	list, err := os.ReadDir(s.dir)
	if err != nil {
		return out
	}
	for _, e := range list {
		parts := segmentName.FindStringSubmatch(e.Name())
		if parts == nil || parts[1] == s.tag {
			continue
		}
		path := filepath.Join(s.dir, e.Name())
		if parts[3] == valuesSuffix {
			if _, err := os.Stat(withSuffix(path, keysSuffix)); !errors.Is(err, fs.ErrNotExist) {
				continue // goes with its keys
			}
		}
		if old(path) {
			out = append(out, path)
		}
	}
	return out
}

// removeIdle removes a keys file and its values, unless a process holds it; or a
// values file alone.
func removeIdle(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer f.Close()
	if !tryLock(f) {
		return nil
	}
	return removeFiles(path, withSuffix(path, valuesSuffix))
}
