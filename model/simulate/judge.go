package simulate

import (
	"math"

	"wallsift/model/climate"
	"wallsift/model/damage"
	"wallsift/model/indicator"
)

// Question says what an outcome is asked.
type Question struct {
	Which   indicator.Set
	Params  *Params
	Timber  bool                // timber is embedded
	Classes [TimberClasses]bool // at which of the depths; the worst counts
	Before  *damage.FrostYear   // of the wall as it is; nil where nothing is added to it
}

// Judge returns every indicator asked for. An outcome that failed answers with
// the worst utilisation, never with a good one.
func (o *Outcome) Judge(q *Question) indicator.Result {
	var r indicator.Result
	for id := range indicator.Count {
		r[id] = indicator.Value{Month: -1, Day: -1}
		if !q.Which.Has(id) {
			continue
		}
		v, applies := o.answer(id, q)
		if applies && o.Failed {
			v = indicator.Value{Demand: math.NaN(), Utilisation: indicator.MaxUtilisation, Month: -1, Day: -1}
		}
		if applies {
			v.Applies = true
			r[id] = v
		}
	}
	return r
}

func (o *Outcome) answer(id indicator.ID, q *Question) (indicator.Value, bool) {
	switch id {
	case indicator.SurfaceMould:
		return valueOf(o.SurfaceMould), true
	case indicator.ColdFaceMould:
		return valueOf(o.ColdMould), o.Insulated || o.Failed
	case indicator.Condensate:
		return valueOf(o.Condensate), o.Insulated || o.Failed
	case indicator.DryingReserve:
		// Rain behind the face is in the year already: the reserve is what is left beyond it.
		return valueOf(damage.Drying{Pulse: q.Params.Pulse, Remaining: q.Params.Pulse - o.Dried}.Finding(q.Params.AirLeak)), !math.IsNaN(o.Dried) || o.Failed
	case indicator.TimberHumidity:
		return q.worst(&o.TimberHumidity), q.Timber
	case indicator.TimberMoisture:
		return q.worst(&o.TimberMoisture), q.Timber
	case indicator.TimberDecay:
		return q.worst(&o.TimberRot), q.Timber
	case indicator.WetFront:
		return valueOf(o.Front), true
	case indicator.Frost:
		f := o.Frost
		if q.Before != nil {
			f = damage.Change(*q.Before, o.Frost)
		} else {
			f.Cycles = 0 // nothing is added to the wall as it is
		}
		return valueOf(f.Finding(q.Params.FrostMore)), true
	}
	return indicator.Value{}, false
}

// worst returns the finding with the largest utilisation over the depths asked.
func (q *Question) worst(list *[TimberClasses]damage.Finding) indicator.Value {
	var worst indicator.Value
	for k := range list {
		if v := valueOf(list[k]); q.Classes[k] && (!worst.Applies || v.Utilisation > worst.Utilisation) {
			worst = v
			worst.Applies = true
		}
	}
	return worst
}

func valueOf(f damage.Finding) indicator.Value {
	v := indicator.Value{Demand: f.Demand, Limit: f.Limit, Utilisation: min(f.Utilisation, indicator.MaxUtilisation), Month: -1, Day: -1}
	if f.Hour >= 0 && f.Utilisation > 0 {
		v.Day = int16(f.Hour / 24 % 365)
		v.Month = int8(climate.MonthOf(int(v.Day)))
	}
	return v
}
