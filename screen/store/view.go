package store

import (
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"math"
)

// place is where the newest record of a key lies.
type place struct {
	record  uint32
	segment uint16 // in view.segments
	day     uint16
}

// view is what lay in the folder at one moment.
type view struct {
	segments []*segment
	// index leads from the first eight bytes of a key to its place. Of two keys
	// that begin alike one is a miss: the whole key is held against the record.
	// Keys are hashes, so that does not happen in practice.
	index   map[uint64]place
	empty   []uint64 // segments without a header: nothing was written to them
	foreign []uint64 // segments whose header is damaged or not of the method
	damaged int64    // records and segments that cannot be read
}

func prefix(key *[32]byte) uint64 { return binary.LittleEndian.Uint64(key[:]) }

// look opens every segment of the method. One that vanishes meanwhile was merged
// into a segment that the list may not have held yet, so the list is read again.
func (s *Store) look() (*view, error) {
	v := &view{}
	for try := 0; ; try++ {
		numbers, err := s.numbers(keysSuffix)
		if err != nil {
			return nil, err
		}
		missing := false
		for _, n := range numbers {
			seg, err := s.openSegment(n)
			switch {
			case err == nil && len(v.segments) == math.MaxUint16:
				seg.close() // more than can be told apart: as if it were not there
			case err == nil:
				v.segments = append(v.segments, seg)
			case errors.Is(err, fs.ErrNotExist):
				missing = true
			case errors.Is(err, io.EOF):
				v.empty = append(v.empty, n)
			case errors.Is(err, errForeign):
				v.foreign = append(v.foreign, n)
				v.damaged++
			default:
				v.damaged++
			}
		}
		if !missing || try == 5 {
			break
		}
		v.close()
		v = &view{}
	}
	total := int64(0)
	for _, seg := range v.segments {
		total += seg.records
	}
	v.index = make(map[uint64]place, total)
	for i, seg := range v.segments {
		err := seg.each(func(k int64, r *record) {
			if r == nil {
				v.damaged++
				return
			}
			// Of equal days the later segment counts: it may hold what was
			// written again after damage.
			p, day := prefix(&r.key), s.ages.day(r.day)
			if have, ok := v.index[p]; !ok || day >= have.day {
				v.index[p] = place{record: uint32(k), segment: uint16(i), day: day}
			}
		})
		if err != nil {
			v.damaged++ // the rest of the segment cannot be read
		}
	}
	return v, nil
}

// live counts the records of each segment that are worth keeping: the newest of
// their key, and asked for lately.
func (v *view) live(a *ages) []int64 {
	out := make([]int64, len(v.segments))
	for _, at := range v.index {
		if !a.expired(at.day) {
			out[at.segment]++
		}
	}
	return out
}

func (v *view) close() {
	for _, seg := range v.segments {
		seg.close()
	}
	v.segments, v.index = nil, nil
}
