package screen

import (
	"crypto/sha256"
	"encoding/binary"
	"math"

	"wallsift/ingest"
)

// homeKey names the facts a building is judged by, so that two runs can tell
// whether its row changed. What only rides along is not in it.
func homeKey(b *ingest.Building) [32]byte {
	buf := append([]byte(b.Stone+"\x00"+b.Zone+"\x00"), b.Cat[:]...)
	for _, x := range b.Num {
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(x))
	}
	buf = binary.LittleEndian.AppendUint16(buf, uint16(b.Facings))
	for _, r := range b.Ranges {
		buf = append(buf, byte(r.Of))
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(r.Low))
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(r.High))
	}
	if b.Home != "" {
		buf = append(buf, 1) // one wall of several faces one way
	}
	return sha256.Sum256(buf)
}
