package screen

import (
	"math"
	"slices"

	"wallsift/ingest"
)

// Past is what the wall's own past says of the draws. A wall that has stood with
// sound timber is evidence: a draw under which the wall as it is would have been
// ruined by now is not likely.
type Past struct {
	Typical bool    // the typical case would have ruined the wall as it stands, against what is seen or usual
	Draws   int     // looked at
	Ruined  int     // of them
	Weight  float64 // what a ruined draw counts, against 1 for the others
}

// worn says how near draw n comes to ruining the wall as it is, 1 where it does: rot
// begins at embedded timber, or rain comes through to the inner face.
func (h *home) worn(n int) (float64, error) {
	at := h.e.worldOf(h.b, h.now, nil, h.point(n))
	facing := h.z.front(at.facings)[0]
	if n < 0 {
		h.asFacing = facing
	}
	worn, err := h.wornBy(quick, n, facing, &at)
	if err == nil && math.Abs(worn-1) < nearRuin {
		return h.wornBy(fine, n, facing, &at)
	}
	return worn, err
}

func (h *home) wornBy(by numerics, n int, facing float64, at *world) (float64, error) {
	o, err := h.asItIs(by, n, facing)
	if err != nil {
		return 0, err
	}
	worn := o.Front.Value / o.Masonry
	for k, on := range at.depths {
		if !at.timber || !on {
			continue
		}
		worn = max(worn, o.TimberActivation[k].Value/h.e.limits.TimberActivation)
		if o.TimberLoss[k] > clearLoss {
			worn = max(worn, 1+2*nearRuin) // activation ends at 1, however wet it is
		}
	}
	return worn, nil
}

// Choices of this tool.
const (
	// nearRuin is how near to ruin a quick run is done again finely.
	nearRuin = 0.1
	// clearLoss is the share of mass lost from which timber rots beyond doubt.
	clearLoss = 0.01
	// Where no draw of the first farLook wears the wall to farFromRuin, the others are
	// taken not to ruin it, and are not run.
	farLook     = 8
	farFromRuin = 0.5
)

// judgePast looks at the wall as it is under the typical world.
func (h *home) judgePast() error {
	worn, err := h.worn(-1)
	h.past.Typical = worn >= 1 && h.b.Cat[ingest.TimberState] != timberDecayed && h.b.Cat[ingest.InnerDamp] != dampSigns
	return err
}

// Levels of what was seen.
var (
	timberSound, _   = ingest.TimberState.Level("sound")
	timberDecayed, _ = ingest.TimberState.Level("decayed")
	dampNone, _      = ingest.InnerDamp.Level("none")
	dampSigns, _     = ingest.InnerDamp.Level("signs")
)

// leastWeight is what a draw must count to be run.
const leastWeight = 0.02

// weights returns what each of the first n draws counts. Ruined draws together count
// no more often than such damage is met among standing homes, unless the wall is
// too young to prove anything, and where a look found nothing each as often again
// as a look misses it. Where a look found damage they count in full, and a draw
// without counts as often as a look errs. Where every draw is ruined nothing can be
// told apart and all count alike.
func (h *home) weights(n int) ([]float64, error) {
	out := make([]float64, n)
	if first := len(h.wear); first < n {
		h.wear = append(h.wear, make([]float64, n-first)...)
		if first < farLook || slices.Max(h.wear[:farLook]) >= farFromRuin {
			err := h.each(n-first, func(i int) (err error) {
				h.wear[first+i], err = h.worn(first + i)
				return err
			})
			if err != nil {
				return nil, err
			}
			h.looked = n
		}
	}
	ruined := 0
	for _, worn := range h.wear[:n] {
		if worn >= 1 {
			ruined++
		}
	}
	bad, good := 1.0, 1.0
	young := h.b.Num[ingest.BuiltYear] > h.e.provenBefore
	if share := float64(ruined) / float64(n); share > h.e.baseRate && !young {
		bad = h.e.baseRate / (1 - h.e.baseRate) * (1 - share) / share
	}
	timber, damp := h.b.Cat[ingest.TimberState], h.b.Cat[ingest.InnerDamp]
	switch {
	case timber == timberDecayed || damp == dampSigns:
		bad, good = 1, h.e.looksMiss // decay that the wall does not explain is rare too
	case timber == timberSound || damp == dampNone:
		bad *= h.e.looksMiss
	}
	if ruined == n || ruined == 0 {
		bad, good = 1, 1
	}
	if bad < leastWeight {
		bad = 0
	}
	for i := range out {
		if out[i] = good; h.wear[i] >= 1 {
			out[i] = bad
		}
	}
	h.past.Draws, h.past.Ruined, h.past.Weight = min(n, h.looked), ruined, bad/math.Max(good, 1e-9)
	return out, nil
}
