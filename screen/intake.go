package screen

import (
	"cmp"
	"context"
	"errors"
	"io"
	"iter"
	"slices"
	"strings"

	"wallsift/ingest"
)

// Intake says which rows of an inventory count. It is asked in the order of
// reading, because of the rows of one id the first good one counts.
type Intake struct {
	Rows        int            // that count
	Rejected    int            // rows
	BrokenFiles int            // files that could not be read to their end
	Good, Bad   map[string]int // rows that count, and that are rejected, by file

	src   *ingest.Source
	seen  *ingest.Seen
	homes map[string]*Walls // of homes whose walls have rows of their own
	order []*Walls          // of them that have rows that count, as they were met
	asked int               // of them, whether they are refused
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
	return &Intake{Good: map[string]int{}, Bad: map[string]int{}, src: src, seen: ingest.NewSeen(src), homes: map[string]*Walls{}}
}

// Take judges a batch as it was decoded. It says for each building whether it
// counts, and returns the rejects in the order of lines, those of repeated ids
// among them.
func (in *Intake) Take(buildings []ingest.Building, rejects []ingest.Reject) ([]bool, []ingest.Reject) {
	counts, files := make([]bool, len(buildings)), in.src.Names().Files
	for i := range buildings {
		b := &buildings[i]
		rej, dup := in.seen.Check(named(b))
		if counts[i] = !dup; dup {
			rejects = append(rejects, rej)
			continue
		}
		in.Rows++
		in.Good[files[b.File]]++
		if b.Home != "" {
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
			in.Bad[rej.File]++
			if rej.Home != "" {
				in.home(rej.Home).Lost++
			}
		}
		last = rej.Line
	}
	return counts, rejects
}

// Taken is a batch of rows: those that count, and the rejects in the order of lines.
type Taken struct {
	Rows    []ingest.Building
	Rejects []ingest.Reject
}

// Read takes in all rows of the source, and then its homes: where one is refused, the
// rows that counted so far do so no longer.
func (in *Intake) Read(ctx context.Context) iter.Seq2[Taken, error] {
	return func(yield func(Taken, error) bool) {
		batch, err := in.src.Next(ctx)
		for ; err == nil; batch, err = in.src.Next(ctx) {
			buildings, rejects := batch.Decode()
			counts, rejects := in.Take(buildings, rejects)
			at := -1
			rows := slices.DeleteFunc(buildings, func(ingest.Building) bool { at++; return !counts[at] })
			if !yield(Taken{rows, rejects}, nil) {
				return
			}
		}
		if !errors.Is(err, io.EOF) {
			yield(Taken{}, err)
			return
		}
		for _, h := range in.Homes() {
			if h.Refused != nil && !yield(Taken{Rejects: []ingest.Reject{*h.Refused}}, nil) {
				return
			}
		}
	}
}

func (in *Intake) home(key string) *Walls {
	h := in.homes[key]
	if h == nil {
		h = &Walls{Home: strings.Clone(key)} // else it would keep a whole batch
		in.homes[h.Home] = h
	}
	return h
}

// Lost is how many rows of a home were rejected.
func (in *Intake) Lost(home string) int { return in.home(home).Lost }

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
// taken, in the order in which they were met, and counts those that are refused, once.
func (in *Intake) Homes() []*Walls {
	for ; in.asked < len(in.order); in.asked++ {
		h := in.order[in.asked]
		if rej, dup := in.seen.Check(&ingest.Building{ID: h.Home, File: h.first.File, Line: h.first.Line}); dup {
			h.Refused = &rej
			in.Rejected += len(h.Rows)
			in.Bad[rej.File] += len(h.Rows)
			in.Rows -= len(h.Rows)
			in.Good[rej.File] -= len(h.Rows)
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
