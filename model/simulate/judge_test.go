package simulate_test

import (
	"math"
	"testing"

	"wallsift/model/damage"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// atLimit is an outcome whose every demand stands at its limit, with timber at the
// middle depth alone, and the question that asks for all of it.
func atLimit() (*simulate.Outcome, *simulate.Question) {
	l := &indicator.Limits{MouldSurface: 1, MouldCold: 3, Condensate: 0.2, CondensateNonabsorbent: 0.1, AbsorbentAw: 0.01, AirLeak: 0.1,
		Timber: damage.TimberLine{RH0: 0.95, RH30: 0.86}, TimberMoisture: 0.2, TimberActivation: 1, WetFrontShare: 0.5}
	at := func(x float64) damage.Peak { return damage.Peak{Value: x, Hour: 24 * 40} } // 10 February
	o := &simulate.Outcome{Insulated: true, Masonry: 0.5, CornerMould: at(1), ColdMould: at(3), Condensate: at(0.2), LiningAw: 0.01, Reserve: at(0.1), Front: at(0.25)}
	o.TimberHumidity[1], o.TimberMoisture[1], o.TimberActivation[1], o.TimberLoss[1] = []damage.TimberDay{{RH: 0.905, Theta: 15, Hour: 24 * 40}}, at(0.2), at(1), 0.03
	o.Frost.Critical, o.Frost.Fullest[0] = 0.8, damage.FrostPeak{Filling: 0.8, Hour: 24 * 40}
	q := &simulate.Question{Limits: l, Classes: [simulate.TimberClasses]bool{1: true}}
	for id := range indicator.Count {
		q.Which = q.Which.With(id)
	}
	return o, q
}

// A demand at its limit is a utilisation of one, and twice the limit allowed is
// half of it, for every indicator that the hourly tier judges.
func TestJudgeIsDemandOverLimit(t *testing.T) {
	o, q := atLimit()
	for id, f := range o.Judge(q) {
		switch id := indicator.ID(id); {
		case id == indicator.RainProtection:
			if f.Applies {
				t.Error("rain is computed hour by hour, not judged by the coat")
			}
		case !f.Applies || math.Abs(f.Utilisation-1) > 1e-6:
			t.Errorf("%s: %+v", id.Info().Name, f)
		case id != indicator.DryingReserve && f.Month != 1:
			t.Errorf("%s: month %d, the peak is in February", id.Info().Name, f.Month)
		}
	}
	q.Limits.MouldCold, q.Limits.WetFrontShare, q.Limits.AirLeak = 6, 1, 0.05
	r := o.Judge(q)
	for _, id := range []indicator.ID{indicator.ColdFaceMould, indicator.WetFront, indicator.DryingReserve} {
		if math.Abs(r[id].Utilisation-0.5) > 1e-6 {
			t.Errorf("%s: %v of a limit twice as wide", id.Info().Name, r[id].Utilisation)
		}
	}
	o.LiningAw = 0.009 // takes no water up
	if u := o.Judge(q)[indicator.Condensate].Utilisation; math.Abs(u-2) > 1e-6 {
		t.Errorf("condensate that cannot be taken up: %v", u)
	}
}

// A frost that the wall knows already is not put to a measure.
func TestFrostThatTheWallKnows(t *testing.T) {
	o, q := atLimit()
	before := *o
	before.Frost.Cycles = 1
	q.Before = &before
	o.Frost.Fullest[1] = damage.FrostPeak{Filling: 0.4, Hour: 24 * 40}
	if u := o.Judge(q)[indicator.Frost].Utilisation; math.Abs(u-0.5) > 1e-6 {
		t.Errorf("the second fullest frost governs: %v", u)
	}
}

// The worst of the depths asked counts, and no other one.
func TestTimberDepths(t *testing.T) {
	o, q := atLimit()
	o.TimberMoisture[0].Value, o.TimberMoisture[2].Value, o.TimberLoss[2] = 0.5, 0.4, 0.2
	if u := o.Judge(q)[indicator.TimberMoisture].Utilisation; math.Abs(u-1) > 1e-6 {
		t.Errorf("a depth without timber counts: %v", u)
	}
	q.Classes[2] = true
	if u := o.Judge(q)[indicator.TimberMoisture].Utilisation; math.Abs(u-2) > 1e-6 {
		t.Errorf("the worst depth does not count: %v", u)
	}
	if loss := o.MassLoss(q.Classes); loss != 0.2 {
		t.Errorf("mass loss %v", loss)
	}
	q.Classes = [simulate.TimberClasses]bool{}
	if r := o.Judge(q); r[indicator.TimberMoisture].Applies || r[indicator.TimberDecay].Applies || r[indicator.TimberHumidity].Applies {
		t.Error("timber is judged where there is none")
	}
}

// A run that failed is never good, and a bare wall has no lining to judge.
func TestFailedAndBare(t *testing.T) {
	o, q := atLimit()
	o.Insulated = false
	r := o.Judge(q)
	if r[indicator.ColdFaceMould].Applies || r[indicator.Condensate].Applies || r[indicator.DryingReserve].Applies || !r[indicator.SurfaceMould].Applies {
		t.Errorf("a bare wall: %+v", r)
	}
	o.Failed = true
	for id, f := range o.Judge(q) {
		if indicator.ID(id) != indicator.RainProtection && (!f.Applies || f.Utilisation != indicator.MaxUtilisation) {
			t.Errorf("%s of a run that failed: %+v", indicator.ID(id).Info().Name, f)
		}
	}
}
