package surrogate

import (
	"bytes"
	"encoding/gob"
	"fmt"

	"gonum.org/v1/gonum/blas/blas64"
)

// Method names how a surface is fitted and laid out. Whoever keeps surfaces
// makes it part of the key; it changes whenever [Fit] may come out differently
// for equal rows.
const Method = "surface-1"

// kept is a Surface as it is written down.
type kept struct {
	Width                  int
	Keep, Square           []int
	Mean, SD, Lo, Hi       []float64
	SquareMean, SquareDevs []float64
	Beta                   blas64.General
	Offset                 []float64
	Channels               []keptChannel
}

type keptChannel struct {
	Outputs     []int
	Kernel      kernel
	Scale, Norm []float64
	U, Alpha    blas64.General
}

// MarshalBinary writes the surface down; a surface read back predicts the same
// to the bit. The form belongs to [Method].
func (s *Surface) MarshalBinary() ([]byte, error) {
	f := &s.features
	k := kept{Width: f.width, Keep: f.keep, Square: f.square, Mean: f.mean, SD: f.sd, Lo: f.lo, Hi: f.hi,
		SquareMean: f.qm, SquareDevs: f.qs, Beta: s.beta, Offset: s.offset}
	for _, c := range s.channels {
		k.Channels = append(k.Channels, keptChannel{c.outputs, c.kernel, c.scale, c.norm, c.u, c.alpha})
	}
	var b bytes.Buffer
	if err := gob.NewEncoder(&b).Encode(&k); err != nil {
		return nil, fmt.Errorf("surrogate: writing a surface down: %w", err)
	}
	return b.Bytes(), nil
}

// UnmarshalBinary reads what MarshalBinary wrote. Bytes that something else
// wrote are an error or make a surface without meaning: the caller keeps them
// checksummed.
func (s *Surface) UnmarshalBinary(data []byte) error {
	var k kept
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&k); err != nil {
		return fmt.Errorf("surrogate: reading a surface back: %w", err)
	}
	*s = Surface{beta: k.Beta, offset: k.Offset, features: features{width: k.Width, keep: k.Keep, square: k.Square,
		mean: k.Mean, sd: k.SD, lo: k.Lo, hi: k.Hi, qm: k.SquareMean, qs: k.SquareDevs}}
	for _, c := range k.Channels {
		s.channels = append(s.channels, channel{c.Outputs, c.Kernel, c.Scale, c.U, c.Norm, c.Alpha})
	}
	return nil
}
