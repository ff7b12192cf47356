package simulate

import (
	"cmp"

	"wallsift/model/damage"
	"wallsift/model/indicator"
)

// Weeks of a course; the last takes the days left over.
const Weeks = 52

// Places of a course.
const (
	PlaceCold   = iota // outer face of the insulation, or inner face of a bare wall
	PlaceTimber        // one for each timber class from here on
	NumPlaces   = PlaceTimber + TimberClasses
)

// Outcome is what a case comes to: demands, never limits, so that a changed limit
// needs no new run. It holds no pointer and may be kept as it is. Unless said
// otherwise its figures are of the judged year.
type Outcome struct {
	Failed    bool // the engine did not converge: nothing below may be used
	Unsettled bool // the mean years allowed were over before the wall repeated its year
	Gathering bool // unsettled, and the wall went on gaining water
	Unfrozen  bool // pore water was not let freeze: with ice the engine did not converge
	Insulated bool // there is a face of the insulation to judge
	Years     int32

	CornerMould, ColdMould damage.Peak                       // mould index in corners and at the cold face, mean years included
	Condensate             damage.Peak                       // kg/m² in the lining beyond 80 % relative humidity
	LiningAw               float64                           // kg/(m²·√s) of the insulation
	Reserve                damage.Peak                       // drying reserve of the critical face, kg/m²a
	TimberHumidity         [TimberClasses][]damage.TimberDay // that may be the worst
	TimberMoisture         [TimberClasses]damage.Peak        // kg/kg
	TimberActivation       [TimberClasses]damage.Peak        // 0–1, mean years included
	TimberLoss             [TimberClasses]float64            // share of dry mass lost after the mean years and the judged one, 0–1
	Front                  damage.Peak                       // m
	Masonry                float64                           // m, thickness
	Frost                  damage.FrostYear

	Rain     float64                 // kg/m²a offered to the face
	Taken    float64                 // kg/m²a of it that went into the wall
	Water    float64                 // kg/m², mean over the year in the whole wall
	ColdRH   float64                 // highest daily mean at the cold face, 0–1
	HeatLoss float64                 // kWh/m²a lost through the inner face
	Course   [NumPlaces][Weeks]uint8 // weekly mean relative humidity in half percent

	Steps int64 // of all years
}

// Question says what an outcome is asked.
type Question struct {
	Which   indicator.Set
	Limits  *indicator.Limits
	Classes [TimberClasses]bool // at which of the depths timber is embedded; the worst counts
	Before  *Outcome            // of the wall as it is, under the same draw; nil where nothing is added to it
}

// Judge returns every indicator asked for. An outcome that failed answers with
// the worst utilisation, never with a good one.
func (o *Outcome) Judge(q *Question) indicator.Result {
	var r indicator.Result
	for id := range indicator.Count {
		r[id] = indicator.Finding{Month: -1, Day: -1}
		if q.Which.Has(id) && o.applies(id, q) {
			r[id] = indicator.Failed
			if !o.Failed {
				r[id] = o.answer(id, q)
			}
		}
	}
	return r
}

// applies says whether the hourly tier has something to judge.
func (o *Outcome) applies(id indicator.ID, q *Question) bool {
	switch id {
	case indicator.ColdFaceMould, indicator.Condensate, indicator.DryingReserve:
		return o.Insulated || o.Failed
	case indicator.TimberHumidity, indicator.TimberMoisture, indicator.TimberDecay:
		return q.Classes != [TimberClasses]bool{}
	}
	return id != indicator.RainProtection
}

func (o *Outcome) answer(id indicator.ID, q *Question) indicator.Finding {
	l := q.Limits
	switch id {
	case indicator.SurfaceMould:
		return indicator.Hourly(o.CornerMould, l.MouldSurface)
	case indicator.ColdFaceMould:
		return indicator.Hourly(o.ColdMould, l.MouldCold)
	case indicator.Condensate:
		return indicator.Hourly(o.Condensate, l.CondensateLimit(o.LiningAw >= l.AbsorbentAw))
	case indicator.DryingReserve:
		return indicator.Compare(l.AirLeak, o.Reserve.Value, -1)
	case indicator.TimberHumidity:
		return q.worst(func(k int) indicator.Finding {
			d := l.Timber.Worst(o.TimberHumidity[k])
			return indicator.Hourly(damage.Peak{Value: d.RH, Hour: d.Hour}, l.Timber.At(d.Theta))
		})
	case indicator.TimberMoisture:
		return q.worst(func(k int) indicator.Finding { return indicator.Hourly(o.TimberMoisture[k], l.TimberMoisture) })
	case indicator.TimberDecay:
		return q.worst(func(k int) indicator.Finding { return indicator.Hourly(o.TimberActivation[k], l.TimberActivation) })
	case indicator.WetFront:
		return indicator.Hourly(o.Front, l.WetFrontShare*o.Masonry)
	}
	before := cmp.Or(q.Before, o) // what is left is frost
	return indicator.FrostAdded(&before.Frost, &o.Frost, l)
}

// worst returns the finding with the largest utilisation over the depths asked.
func (q *Question) worst(at func(k int) indicator.Finding) indicator.Finding {
	worst := indicator.Finding{Month: -1, Day: -1}
	for k, asked := range q.Classes {
		if asked {
			worst = indicator.Worse(worst, at(k))
		}
	}
	return worst
}

// MassLoss returns the largest share of dry mass (0–1) that timber loses at the
// depths asked, after the mean years and the judged one.
func (o *Outcome) MassLoss(classes [TimberClasses]bool) float64 {
	loss := 0.0
	for k, asked := range classes {
		if asked {
			loss = max(loss, o.TimberLoss[k])
		}
	}
	return loss
}
