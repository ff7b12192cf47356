package screen

import (
	"math"

	"wallsift/ingest"
	"wallsift/model/indicator"
)

// DrierFace is how much the face may take up for the limits to be kept, where
// they are not: what a treatment, a render or repointing would have to reach.
type DrierFace struct {
	Sought bool
	Now    float64 // A_w of the face as judged, kg/(m²·s^½)
	Enough float64 // the most found to keep every limit, kg/(m²·s^½); 0 where a drier face alone does not
}

// The faces tried, as shares of A_w as it is: a sixth of a decade apart, from
// two thirds to a thirtieth, about what a silicone treatment leaves of it. From memory.
const (
	drierFaces = 9
	drierStep  = 1.0 / 6
)

// drier seeks the wettest face that keeps the limits of a typical world that
// exceeds them. It takes for granted that what a face keeps a drier one keeps
// too (common practice, no source).
func (h *home) drier(j *Judgement) error {
	st := &h.e.strategies[j.Strategy]
	if j.Tier != indicator.Transient || j.Failed || j.Excluded || j.Typical <= 1 || len(st.Outside) > 0 {
		return nil
	}
	at := h.e.worldOf(h.e.repaired(st, h.b, &Judgement{}), st, point{})
	takes := at.props.Aw
	if f := h.e.materials[h.e.outer[at.cat[ingest.OuterFinish]].Material]; f != nil && f.Aw.Typical > 0 {
		takes = f.Aw.Typical
	}
	if takes*at.passes == 0 {
		return nil
	}
	share := func(k int) float64 { return math.Pow(10, -drierStep*float64(drierFaces-k)) }
	kept, _, err := border(0, drierFaces, drierFaces, j.Governing, func(k int) (bool, indicator.ID, error) {
		drier := at
		drier.passes *= share(k)
		t, err := h.ask(&drier, j.Facing, j.Thickness, j.HeldBack)
		_, by := t.governing()
		return t.over(), by, err
	})
	if err != nil {
		return err
	}
	j.Drier = DrierFace{Sought: true, Now: takes * at.passes}
	if kept > 0 {
		j.Drier.Enough = j.Drier.Now * share(kept-1)
	}
	return nil
}
