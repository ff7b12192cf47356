package screen

import (
	"math"

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

// ruined says whether the wall as it is would have been ruined under draw n: rot
// has begun at embedded timber, or rain or mould has come through to the inner
// face.
func (h *home) ruined(n int) (bool, error) {
	at := h.e.worldOf(h.b, h.now, nil, h.point(n))
	facing := h.z.front(at.facings)[0]
	if n < 0 {
		h.asFacing = facing
		worn, _, err := h.wornOut(typicalRun, n, facing, &at)
		return worn, err
	}
	worn, near, err := h.wornOut(quickDraw, n, facing, &at)
	if near {
		worn, _, err = h.wornOut(closeDraw, n, facing, &at)
	}
	return worn, err
}

// wornOut says whether a run of the wall as it is ruins it, and whether that was near.
func (h *home) wornOut(by numerics, n int, facing float64, at *world) (worn, near bool, err error) {
	o, err := h.asItIs(by, n, facing)
	if err != nil {
		return false, false, err
	}
	for k, on := range at.depths {
		if !at.timber || !on {
			continue
		}
		active, lost := o.TimberActivation[k].Value, o.TimberLoss[k]
		worn = worn || active >= h.e.limits.TimberActivation
		near = near || active > 0.9 && lost < 0.01
	}
	front := o.Front.Value / o.Masonry
	return worn || front >= 1, near || math.Abs(front-1) < nearLimit, nil
}

// judgePast looks at the wall as it is under the typical world.
func (h *home) judgePast() error {
	worn, err := h.ruined(-1)
	h.past.Typical = worn && h.b.Cat[ingest.TimberState] != timberDecayed && h.b.Cat[ingest.InnerDamp] != dampSigns
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
	if first := len(h.worn); first < n {
		h.worn = append(h.worn, make([]bool, n-first)...)
		err := h.each(n-first, func(i int) (err error) {
			h.worn[first+i], err = h.ruined(first + i)
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	ruined := 0
	for _, worn := range h.worn[:n] {
		if worn {
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
		if out[i] = good; h.worn[i] {
			out[i] = bad
		}
	}
	h.past.Draws, h.past.Ruined, h.past.Weight = n, ruined, bad/math.Max(good, 1e-9)
	return out, nil
}
