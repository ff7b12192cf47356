package ingest

import (
	"encoding/binary"
	"fmt"

	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/klauspost/compress/zstd"
)

// The Parquet library trusts the sizes inside compressed pages. These stand in
// for its snappy and zstd codecs and never decode to more than the page header
// promised, which is checked beforehand. Without a destination (a page that
// claims to be empty, or another user of the library) they do as the library
// does, but for a snappy block that claims more than the format can hold.
func init() {
	if c, err := compress.GetCodec(compress.Codecs.Snappy); err == nil {
		compress.RegisterCodec(compress.Codecs.Snappy, boundedSnappy{c})
	}
	c, err := compress.GetCodec(compress.Codecs.Zstd)
	if err != nil {
		return
	}
	dec, err := zstd.NewReader(nil, zstd.WithDecodeAllCapLimit(true), zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxWindow(128<<20))
	if err == nil {
		compress.RegisterCodec(compress.Codecs.Zstd, boundedZstd{c, dec})
	}
}

type boundedSnappy struct{ compress.Codec }

func (c boundedSnappy) Decode(dst, src []byte) []byte {
	most := len(dst)
	if dst == nil {
		most = 64 * len(src) // a copy of 64 bytes takes 3
	}
	if n, used := binary.Uvarint(src); used <= 0 || n > uint64(most) {
		panic(fmt.Errorf("a snappy block claims %d bytes where %d may be", n, most))
	}
	return c.Codec.Decode(dst, src)
}

type boundedZstd struct {
	compress.Codec
	dec *zstd.Decoder
}

func (c boundedZstd) Decode(dst, src []byte) []byte {
	if dst == nil {
		return c.Codec.Decode(nil, src)
	}
	out, err := c.dec.DecodeAll(src, dst[:0:len(dst)])
	if err != nil {
		panic(err)
	}
	return out
}

// cappedAllocator serves the Parquet library until a budget is used up, and
// then panics, which the caller turns into a Reject. The budget is renewed for
// each batch. Only the goroutine that reads may allocate; memory is left to
// the garbage collector, so freeing is free of races.
type cappedAllocator struct {
	memory.Allocator
	left int64
}

// batchBudget bounds what one Parquet batch may allocate in all.
const batchBudget = 1 << 30

func newCappedAllocator() *cappedAllocator {
	return &cappedAllocator{memory.NewGoAllocator(), batchBudget}
}

func (a *cappedAllocator) renew() { a.left = batchBudget }

func (a *cappedAllocator) spend(n int) {
	a.left -= int64(max(n, 0))
	if a.left < 0 {
		panic(fmt.Errorf("a batch needs more than %d MiB", batchBudget>>20))
	}
}

func (a *cappedAllocator) Allocate(n int) []byte {
	a.spend(n)
	return a.Allocator.Allocate(n)
}

func (a *cappedAllocator) Reallocate(n int, b []byte) []byte {
	if n > cap(b) {
		a.spend(n)
	}
	return a.Allocator.Reallocate(n, b)
}
