package ingest

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/cespare/xxhash/v2"
)

// Seen finds building ids that occur twice. It keeps a 64-bit hash and
// a packed place for each id, 16 bytes and a map's overhead, not the id itself. Two different ids with
// one hash are taken for the same building: in ten million ids the chance of
// any such pair is about 3 in a million (n²/2⁶⁵), and it would show as a
// Reject naming both places, never as a lost or a doubled row.
//
// It is not safe for concurrent use: the first occurrence in reading order
// wins, so it must be asked in that order.
type Seen struct {
	files []string
	at    map[uint64]uint64
}

const lineBits = 40 // 10¹² lines, 16 million files

// NewSeen returns an empty Seen. The names, by Building.File, go into messages.
func NewSeen(files []string) *Seen { return &Seen{files: files} }

// Check records the building's id. It reports true, and why, when the id was
// seen before.
func (s *Seen) Check(b *Building) (Reject, bool) {
	if s.at == nil {
		s.at = map[uint64]uint64{}
	}
	h := xxhash.Sum64String(b.ID)
	first, dup := s.at[h]
	if !dup {
		s.at[h] = uint64(b.File)<<lineBits | uint64(b.Line)&(1<<lineBits-1)
		return Reject{}, false
	}
	f := int32(first >> lineBits)
	where := fmt.Sprintf("%s %d", placeWord(s.name(f)), first&(1<<lineBits-1))
	if f != b.File {
		where += " of " + s.name(f)
	}
	return Reject{
		File: s.name(b.File), Line: b.Line, Column: catalogue[0].Name, Value: shorten(b.ID), Known: shorten(b.ID),
		Reason: fmt.Sprintf("building_id %q was first seen on %s, and the first row counts", shorten(b.ID), where),
		Fix:    "remove one of the rows, or give each building its own id",
	}, true
}

func (s *Seen) name(file int32) string {
	if int(file) < len(s.files) {
		return s.files[file]
	}
	return fmt.Sprintf("file %d", file+1)
}

// placeWord says what Reject.Line counts in a file.
func placeWord(file string) string {
	if strings.EqualFold(filepath.Ext(file), ".parquet") {
		return "row"
	}
	return "line"
}
