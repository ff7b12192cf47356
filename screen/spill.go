package screen

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"math"
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

const (
	judgementSize = int(unsafe.Sizeof(Judgement{}))
	surveySize    = int(unsafe.Sizeof(Survey{}))
	pastSize      = int(unsafe.Sizeof(Past{}))
)

// Encode appends a row to buf. Judgements go as their bytes in memory: a row is for
// this process, or for others that run the same executable, and is never kept.
func (row *Row) Encode(buf []byte) []byte {
	b := &row.Building
	buf = binary.AppendUvarint(buf, uint64(b.File))
	buf = binary.AppendUvarint(buf, uint64(b.Line))
	buf = append(buf, b.Cat[:]...)
	for _, x := range b.Num {
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(x))
	}
	text := func(s string) {
		buf = binary.AppendUvarint(buf, uint64(len(s)))
		buf = append(buf, s...)
	}
	text(b.ID)
	text(b.Home)
	buf = binary.AppendUvarint(buf, uint64(b.Facings))
	buf = binary.AppendUvarint(buf, uint64(len(b.Ranges)))
	for _, r := range b.Ranges {
		buf = append(buf, byte(r.Of))
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(r.Low))
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(r.High))
	}
	text(b.Stone)
	text(b.Zone)
	for _, s := range b.Text {
		text(s)
	}
	buf = binary.AppendUvarint(buf, uint64(len(b.Extra)))
	for _, s := range b.Extra {
		text(s)
	}
	buf = append(buf, (*[surveySize]byte)(unsafe.Pointer(&row.Survey))[:]...)
	buf = append(buf, (*[pastSize]byte)(unsafe.Pointer(&row.Past))[:]...)
	buf = binary.AppendUvarint(buf, uint64(row.Cases))
	buf = binary.AppendUvarint(buf, uint64(len(row.Judgements)))
	for i := range row.Judgements {
		buf = append(buf, (*[judgementSize]byte)(unsafe.Pointer(&row.Judgements[i]))[:]...)
	}
	buf = binary.AppendUvarint(buf, uint64(row.Lost))
	buf = binary.AppendUvarint(buf, uint64(len(row.Walls)))
	for i := range row.Walls {
		wall := row.Walls[i].Encode(nil)
		buf = binary.AppendUvarint(buf, uint64(len(wall)))
		buf = append(buf, wall...)
	}
	return buf
}

// Decode fills row from what Encode wrote, reusing its slices.
func (row *Row) Decode(buf []byte) error {
	bad := false
	number := func() uint64 {
		x, n := binary.Uvarint(buf)
		if n <= 0 {
			bad = true
			return 0
		}
		buf = buf[n:]
		return x
	}
	take := func(n int) []byte {
		if n < 0 || n > len(buf) {
			bad = true
			return make([]byte, max(0, min(n, 1<<10)))
		}
		out := buf[:n]
		buf = buf[n:]
		return out
	}
	text := func() string { return string(take(int(number()))) }
	float := func() float64 {
		x := take(8)
		if len(x) < 8 {
			return 0
		}
		return math.Float64frombits(binary.LittleEndian.Uint64(x))
	}
	b := &row.Building
	b.File, b.Line = int32(number()), int64(number())
	copy(b.Cat[:], take(len(b.Cat)))
	for i := range b.Num {
		b.Num[i] = float()
	}
	b.ID, b.Home = text(), text()
	b.Facings = ingest.Facings(number())
	b.Ranges = b.Ranges[:0]
	for range number() {
		if bad {
			break
		}
		var of ingest.Number
		if x := take(1); len(x) == 1 {
			of = ingest.Number(x[0])
		}
		b.Ranges = append(b.Ranges, ingest.Range{Of: of, Low: float(), High: float()})
	}
	b.Stone, b.Zone = text(), text()
	for i := range b.Text {
		b.Text[i] = text()
	}
	b.Extra = b.Extra[:0]
	for range number() {
		if bad {
			break
		}
		b.Extra = append(b.Extra, text())
	}
	copy((*[surveySize]byte)(unsafe.Pointer(&row.Survey))[:], take(surveySize))
	copy((*[pastSize]byte)(unsafe.Pointer(&row.Past))[:], take(pastSize))
	row.Cases = int(number())
	row.Judgements = row.Judgements[:0]
	for range number() {
		if bad {
			break
		}
		var j Judgement
		copy((*[judgementSize]byte)(unsafe.Pointer(&j))[:], take(judgementSize))
		row.Judgements = append(row.Judgements, j)
	}
	row.Lost, row.Walls = int(number()), nil
	for range number() {
		if bad {
			break
		}
		var wall Row
		bad = wall.Decode(take(int(number()))) != nil || bad
		row.Walls = append(row.Walls, wall)
	}
	if bad || len(buf) != 0 {
		return fmt.Errorf("temporary results are damaged; is the disk failing or was the file touched?")
	}
	return nil
}

// spill is a temporary file of rows: written once in order, then read at will.
// It keeps memory flat however many buildings there are.
type spill struct {
	f    *os.File
	w    *bufio.Writer
	ends []int64
}

func newSpill(dir string) (*spill, error) {
	f, err := os.CreateTemp(dir, "rows-*")
	if err != nil {
		return nil, fmt.Errorf("making the temporary file for results: %w", err)
	}
	return &spill{f: f, w: bufio.NewWriterSize(f, 1<<20)}, nil
}

func (s *spill) add(b []byte) error {
	end := int64(len(b))
	if n := len(s.ends); n > 0 {
		end += s.ends[n-1]
	}
	s.ends = append(s.ends, end)
	if _, err := s.w.Write(b); err != nil {
		return fmt.Errorf("writing temporary results: %w", err)
	}
	return nil
}

// row reads row i into row. scratch is reused and returned.
func (s *spill) row(i uint32, scratch []byte, row *Row) ([]byte, error) {
	from := int64(0)
	if i > 0 {
		from = s.ends[i-1]
	}
	n := int(s.ends[i] - from)
	if cap(scratch) < n {
		scratch = make([]byte, n+n/2)
	}
	scratch = scratch[:n]
	if _, err := s.f.ReadAt(scratch, from); err != nil {
		return scratch, fmt.Errorf("reading temporary results: %w", err)
	}
	return scratch, row.Decode(scratch)
}

func (s *spill) close() {
	s.f.Close()
	os.Remove(s.f.Name())
}
