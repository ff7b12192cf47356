package screen

import (
	"cmp"
	"slices"
	"strings"

	"wallsift/ingest"
)

// Intake says which rows of an inventory count. It is asked in the order of
// reading, because of the rows of one id the first good one counts.
type Intake struct {
	Rejected    int // rows
	BrokenFiles int // files that could not be read to their end

	seen  *ingest.Seen
	homes map[string]*Walls // of homes whose walls have rows of their own
	order []*Walls          // of them that have rows that count, as they were met
	walls uint32            // rows that are walls and count
}

// Walls says what became of the rows of a home that has one for each wall.
type Walls struct {
	Home    string
	Lost    int            // rows that were rejected
	Refused *ingest.Reject // of the whole home: its key is the id of another row
	Rows    []uint32       // that count, by their places among all such rows
	first   ingest.Building
}

// NewIntake returns an Intake for the rows of a source.
func NewIntake(src *ingest.Source) *Intake {
	return &Intake{seen: ingest.NewSeen(src), homes: map[string]*Walls{}}
}

// Take judges a batch as it was decoded. It says for each building whether it
// counts, and returns the rejects in the order of lines, those of repeated ids
// among them.
func (in *Intake) Take(buildings []ingest.Building, rejects []ingest.Reject) ([]bool, []ingest.Reject) {
	counts := make([]bool, len(buildings))
	for i := range buildings {
		b := &buildings[i]
		rej, dup := in.seen.Check(named(b))
		if counts[i] = !dup; dup {
			rejects = append(rejects, rej)
		} else if b.Home != "" {
			in.hold(b)
		}
	}
	slices.SortStableFunc(rejects, func(a, b ingest.Reject) int { return cmp.Compare(a.Line, b.Line) })
	last := int64(-1)
	for _, rej := range rejects {
		switch {
		case rej.Whole:
			in.BrokenFiles++
		case rej.Line != last:
			in.Rejected++
			if rej.Home != "" {
				in.home(rej.Home).Lost++
			}
		}
		last = rej.Line
	}
	return counts, rejects
}

func (in *Intake) home(key string) *Walls {
	h := in.homes[key]
	if h == nil {
		h = &Walls{Home: strings.Clone(key)} // else it would keep a whole batch
		in.homes[h.Home] = h
	}
	return h
}

// hold notes a wall. The home is known by the place of the first of its walls, in
// the order of their ids.
func (in *Intake) hold(b *ingest.Building) {
	h := in.home(b.Home)
	if h.Rows == nil {
		in.order = append(in.order, h)
	}
	if h.Rows == nil || b.ID < h.first.ID {
		h.first = ingest.Building{ID: strings.Clone(b.ID), File: b.File, Line: b.Line}
	}
	h.Rows = append(h.Rows, in.walls)
	in.walls++
}

// Homes gives the homes whose walls have rows of their own, once all rows were
// taken, in the order in which they were met, and counts those that are refused.
func (in *Intake) Homes() []*Walls {
	for _, h := range in.order {
		if rej, dup := in.seen.Check(&ingest.Building{ID: h.Home, File: h.first.File, Line: h.first.Line}); dup {
			h.Refused = &rej
			in.Rejected += len(h.Rows)
		}
	}
	return in.order
}

// named is a row by its name among all rows: that of a wall has its home before it.
func named(b *ingest.Building) *ingest.Building {
	id := b.ID
	if b.Home != "" && !strings.HasPrefix(id, b.Home+" / ") { // an id of both columns names the home already
		id = b.Home + " / " + id
	}
	return &ingest.Building{ID: id, File: b.File, Line: b.Line}
}
