package ingest

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/cespare/xxhash/v2"
	"golang.org/x/text/unicode/norm"
)

// Seen finds building ids that occur twice, and ids that differ in case or in
// letter forms alone. It keeps a hash and a packed place for each id, 24 bytes
// and a map's overhead, not the id itself. Two different ids with one hash of 64
// bits are taken for look-alikes: in ten million ids the chance of any such pair
// is about 3 in a million (n²/2⁶⁵), and it would show in a note or in a Reject
// naming both places, never as a lost or a doubled row.
//
// It is not safe for concurrent use: the first good row in reading order counts,
// so it must be asked in that order.
type Seen struct {
	src   *Source
	at    map[uint64]place // by the hash of what an id looks like, or of the id where that is taken
	alike int
	pair  string // the first look-alikes
}

// place is where an id was first seen: file and line, and the hash of the id.
type place struct {
	packed uint64
	id     uint64
}

const lineBits = 40 // 10¹² lines, 16 million files

// NewSeen returns an empty Seen for the buildings of a source, whose Notes then
// speak of ids, too.
func NewSeen(src *Source) *Seen {
	src.seen = &Seen{src: src, at: map[uint64]place{}}
	return src.seen
}

// Check records the building's id. It reports true, and why, when the id was
// seen before. Ids are compared as SameID writes them.
func (s *Seen) Check(b *Building) (Reject, bool) {
	id := SameID(b.ID)
	here := place{uint64(b.File)<<lineBits | uint64(b.Line)&(1<<lineBits-1), xxhash.Sum64String(id)}
	look := xxhash.Sum64String(strings.ToLower(norm.NFKC.String(id)) + "\x00")
	first, taken := s.at[look]
	if alike := first; taken && alike.id != here.id {
		look = here.id
		if first, taken = s.at[look]; !taken {
			if s.alike++; s.alike == 1 {
				s.pair = fmt.Sprintf("%q on %s and the one on %s", shorten(b.ID), s.where(here, -1), s.where(alike, -1))
			}
		}
	}
	if !taken {
		s.at[look] = here
		return Reject{}, false
	}
	return Reject{
		File: s.src.files[b.File], Line: b.Line, Column: catalogue[0].Name, Value: shorten(b.ID), Known: shorten(b.ID),
		Reason: fmt.Sprintf("building_id %q was first seen on %s, and the first good row counts", shorten(b.ID), s.where(first, b.File)),
		Fix:    "remove one of the rows, or give each building its own id; if the rows are walls of one building, map home_id and a wall name to building_id, one entry each",
	}, true
}

// where names a place as seen from a file.
func (s *Seen) where(p place, from int32) string {
	f := int32(p.packed >> lineBits)
	word := "line"
	if strings.EqualFold(filepath.Ext(s.src.files[f]), ".parquet") {
		word = "row"
	}
	out := fmt.Sprintf("%s %d", word, p.packed&(1<<lineBits-1))
	if f != from && (from >= 0 || len(s.src.files) > 1) {
		out += " of " + s.src.files[f]
	}
	return out
}
