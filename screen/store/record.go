package store

import (
	"bytes"
	"encoding/binary"

	"github.com/cespare/xxhash/v2"
)

const (
	formatVersion = 1
	recordBytes   = 64
	maxMethod     = 1024    // bytes of the name of a method
	maxValue      = 1 << 26 // bytes of a value; more in a record is damage
)

var magic = []byte("wallsift case store\n")

// record says where the value of a key lies in its segment.
type record struct {
	key    [32]byte
	offset int64
	length uint32
	day    uint32 // when it was last asked for, see ages
	sum    uint64 // of key and value
}

// encode lays a record out: key, offset, length, day, sum, and the checksum of
// all before it; little endian.
func (r *record) encode() []byte {
	b := make([]byte, recordBytes)
	copy(b, r.key[:])
	binary.LittleEndian.PutUint64(b[32:], uint64(r.offset))
	binary.LittleEndian.PutUint32(b[40:], r.length)
	binary.LittleEndian.PutUint32(b[44:], r.day)
	binary.LittleEndian.PutUint64(b[48:], r.sum)
	binary.LittleEndian.PutUint64(b[56:], xxhash.Sum64(b[:56]))
	return b
}

// decode reads a record of recordBytes, false when it is damaged.
func (r *record) decode(b []byte) bool {
	if binary.LittleEndian.Uint64(b[56:]) != xxhash.Sum64(b[:56]) {
		return false
	}
	copy(r.key[:], b)
	r.offset = int64(binary.LittleEndian.Uint64(b[32:]))
	r.length = binary.LittleEndian.Uint32(b[40:])
	r.day = binary.LittleEndian.Uint32(b[44:])
	r.sum = binary.LittleEndian.Uint64(b[48:])
	return r.offset >= 0 && r.length <= maxValue
}

// sumOf covers the key too, so that the value of another key is no match.
func sumOf(key *[32]byte, value []byte) uint64 {
	var d xxhash.Digest
	d.Reset()
	d.Write(key[:])
	d.Write(value)
	return d.Sum64()
}

// header begins a keys file. Its length is a multiple of recordBytes.
func header(method string) []byte {
	b := append([]byte{}, magic...)
	b = binary.LittleEndian.AppendUint32(b, formatVersion)
	b = binary.LittleEndian.AppendUint32(b, uint32(len(method)))
	b = append(b, method...)
	for (len(b)+8)%recordBytes != 0 {
		b = append(b, 0)
	}
	return binary.LittleEndian.AppendUint64(b, xxhash.Sum64(b))
}

// matches says whether a keys file begins with the header of a method.
func matches(begin []byte, method string) bool { return bytes.HasPrefix(begin, header(method)) }
