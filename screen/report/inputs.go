package report

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"math"

	"wallsift/ingest"
)

// inputsHash names the facts a building is judged by, so that two runs can tell
// whether its row changed. What only rides along is not in it.
func inputsHash(b *ingest.Building) string {
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
	sum := sha256.Sum256(buf)
	return hex.EncodeToString(sum[:8])
}
