package screen

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"wallsift/ingest"
	"wallsift/model/damage"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
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
func (h *home) worn(n int) (worn float64, err error) {
	var sure bool
	at := h.e.worldOf(h.b, &asIs, h.point(n))
	facing := h.z.front(at.facings)[0]
	if n < 0 {
		h.asFacing = facing
	}
	for _, by := range []numerics{quick, fine} {
		o, err := h.run(by, &at, facing, 0)
		if err != nil {
			return 0, err
		}
		if worn, sure = h.e.wear(o, &at); sure {
			break
		}
	}
	return worn, nil
}

// wear reads it off an outcome, and says whether a quick run is enough to tell.
func (e *Engine) wear(o *simulate.Outcome, at *world) (worn float64, sure bool) {
	worn = o.Front.Value / o.Masonry
	sure = !o.Failed && math.Abs(worn-1) >= quickOff(indicator.WetFront)
	for k, on := range at.Timber {
		if !on {
			continue
		}
		activation, wettest := o.TimberActivation[k].Value/e.limits.TimberActivation, 0.0
		worn = max(worn, activation)
		for _, day := range o.TimberHumidity[k] {
			wettest = max(wettest, day.RH)
		}
		switch off := wettest/damage.DecayRH - 1; {
		case activation >= 1 && off >= quickOff(indicator.TimberHumidity):
			return worn, true
		case off > -quickOff(indicator.TimberHumidity):
			sure = false // rot begins at one pore humidity, or not at all
		}
	}
	return worn, sure
}

// wornDraws is after how many draws, none of which ruins the wall, the others are taken
// not to, and are not run: a choice of this tool. Of 14,116 draws of the demo 10 ruin a
// wall unseen, in 9 homes; after 8 draws 48 in 27.
const wornDraws = 16

// judgePast looks at the wall as it is under the typical world.
func (h *home) judgePast() error {
	worn, err := h.worn(-1)
	h.past.Typical = worn >= 1 && h.b.Cat[ingest.TimberState] != timberDecayed && h.b.Cat[ingest.InnerDamp] != dampSigns
	return err
}

// look sees to the wear of the first n draws.
func (h *home) look(n int) error {
	first := len(h.wear)
	if first >= n {
		return nil
	}
	h.wear = append(h.wear, make([]float64, n-first)...)
	if first >= wornDraws && slices.Max(h.wear[:wornDraws]) < 1 {
		return nil
	}
	h.looked = n
	return h.each(n-first, func(i int) (err error) {
		h.wear[first+i], err = h.worn(first + i)
		return err
	})
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
// without counts as often as a look errs. Where these are all ruined the other draws
// are looked through for one that is not, and only where there is none do all count
// alike: a wall that stands is not condemned by a few draws.
func (h *home) weights(n int) ([]float64, error) {
	out := make([]float64, n)
	if err := h.look(n); err != nil {
		return nil, err
	}
	ruined := floats.Count(func(worn float64) bool { return worn >= 1 }, h.wear[:n])
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
	if ruined == n && bad < good {
		for more := n; more < len(h.e.draws) && slices.Min(h.wear) >= 1; {
			more = min(2*more, len(h.e.draws))
			if err := h.look(more); err != nil {
				return nil, err
			}
		}
	}
	if ruined == 0 || slices.Min(h.wear) >= 1 {
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
