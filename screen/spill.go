package screen

import (
	"bufio"
	"fmt"
	"os"
	"unsafe"

	"wallsift/ingest"
)

// Row is one building with its judgements in the order of rank within the
// building, as it is read back for writing.
type Row struct {
	Building ingest.Building
	Answer
	Walls []Row // of a home whose walls have rows of their own, else nil
	Lost  int   // walls of the home whose rows were rejected
}

// Encode appends a row to buf. Numbers and what holds nothing else go as their bytes in
// memory: a row is for this process, or for others that run the same executable, and is
// never kept.
func (row *Row) Encode(buf []byte) []byte {
	c := coder{buf: buf}
	row.code(&c)
	return c.buf
}

// Decode fills row from what Encode wrote, reusing its slices but for Walls.
func (row *Row) Decode(buf []byte) error {
	c := coder{buf: buf, reads: true}
	row.Walls = nil
	row.code(&c)
	if c.bad || len(c.buf) != 0 {
		return fmt.Errorf("temporary results are damaged; is the disk failing or was the file touched?")
	}
	return nil
}

// code names the fields of a row, once for both directions.
func (row *Row) code(c *coder) {
	b := &row.Building
	fixed(c, &b.File)
	fixed(c, &b.Line)
	fixed(c, &b.Cat)
	fixed(c, &b.Num)
	fixed(c, &b.Facings)
	list(c, &b.Ranges, fixed)
	for _, s := range []*string{&b.ID, &b.Home, &b.Stone, &b.Zone} {
		text(c, s)
	}
	for i := range b.Text {
		text(c, &b.Text[i])
	}
	list(c, &b.Extra, text)
	fixed(c, &row.Survey.Wrong)
	fixed(c, &row.Survey.Unclear)
	list(c, &row.Survey.Facts, fixed)
	fixed(c, &row.Past)
	fixed(c, &row.Cases)
	list(c, &row.Judgements, fixed)
	fixed(c, &row.Lost)
	list(c, &row.Walls, func(c *coder, wall *Row) { wall.code(c) })
}

// coder appends to its bytes, or takes from their front.
type coder struct {
	buf        []byte
	reads, bad bool
}

// raw writes the bytes of p, or reads them.
func (c *coder) raw(p []byte) {
	switch {
	case !c.reads:
		c.buf = append(c.buf, p...)
	case len(c.buf) < len(p):
		c.bad = true
	default:
		c.buf = c.buf[copy(p, c.buf):]
	}
}

// fixed codes a value without pointers.
func fixed[T any](c *coder, x *T) {
	c.raw(unsafe.Slice((*byte)(unsafe.Pointer(x)), unsafe.Sizeof(*x)))
}

func text(c *coder, s *string) {
	n := uint32(len(*s))
	if fixed(c, &n); !c.reads {
		c.buf = append(c.buf, *s...)
		return
	}
	if c.bad = c.bad || uint64(n) > uint64(len(c.buf)); !c.bad {
		*s, c.buf = string(c.buf[:n]), c.buf[n:]
	}
}

// list codes the items one by one; those that are read go to the slice that is there.
func list[T any](c *coder, items *[]T, item func(*coder, *T)) {
	n := uint32(len(*items))
	if fixed(c, &n); c.reads {
		if *items = (*items)[:0]; n == 0 {
			*items = nil // as where it was made
		}
	}
	for i := 0; i < int(n) && !c.bad; i++ {
		if c.reads {
			*items = append(*items, *new(T))
		}
		item(c, &(*items)[i])
	}
}

// spill is a temporary file of rows: written once in order, then read at will.
// It keeps memory flat however many buildings there are.
type spill struct {
	f    *os.File
	w    *bufio.Writer
	ends []int64 // of the rows, behind a 0
	buf  []byte  // of a row on its way there
}

func newSpill(dir string) (*spill, error) {
	f, err := os.CreateTemp(dir, "rows-*")
	if err != nil {
		return nil, fmt.Errorf("making the temporary file for results: %w", err)
	}
	return &spill{f: f, w: bufio.NewWriterSize(f, 1<<20), ends: []int64{0}}, nil
}

func (s *spill) add(row *Row) error {
	s.buf = row.Encode(s.buf[:0])
	s.ends = append(s.ends, s.ends[len(s.ends)-1]+int64(len(s.buf)))
	if _, err := s.w.Write(s.buf); err != nil {
		return fmt.Errorf("writing temporary results: %w", err)
	}
	return nil
}

// row reads row i into row.
func (s *spill) row(i uint32, row *Row) error {
	buf := make([]byte, s.ends[i+1]-s.ends[i])
	if _, err := s.f.ReadAt(buf, s.ends[i]); err != nil {
		return fmt.Errorf("reading temporary results: %w", err)
	}
	return row.Decode(buf)
}

func (s *spill) close() {
	s.f.Close()
	os.Remove(s.f.Name())
}
