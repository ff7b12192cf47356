package indicator

import (
	"math"

	"wallsift/model/climate"
	"wallsift/model/damage"
)

// MaxUtilisation caps a utilisation whose limit is next to nothing, so that
// tables and files never hold an infinity. It is also the answer where a model
// failed: what is not known is never taken for good.
const MaxUtilisation = 99

// Finding is one indicator's answer.
type Finding struct {
	Demand      float64 // in the indicator's unit
	Limit       float64 // likewise
	Utilisation float64 // demand ÷ limit, 1 = at the limit, 0…MaxUtilisation, never NaN
	Month       int8    // 0–11 of the worst moment, -1 when it has none
	Day         int16   // 0–364 of the worst moment, -1 when only the month is known or none
	Applies     bool    // false when the indicator was not asked for, has nothing to judge or no data
	NotJudged   bool    // it was asked for and has something to judge, but a number is missing
}

// nothing is the answer where there is nothing to judge.
var nothing = Finding{Month: -1, Day: -1}

// notJudged is the answer where a number is missing: not 0 and not a limit kept.
var notJudged = Finding{Demand: math.NaN(), Limit: math.NaN(), Month: -1, Day: -1, NotJudged: true}

// Failed is the answer of an indicator whose model failed.
var Failed = Finding{Demand: math.NaN(), Limit: math.NaN(), Utilisation: MaxUtilisation, Month: -1, Day: -1, Applies: true}

// Compare makes a Finding of a demand and its limit; month is 0–11, or -1 for none.
func Compare(demand, limit float64, month int) Finding {
	f := Finding{Demand: demand, Limit: limit, Month: int8(month), Day: -1, Applies: true}
	switch {
	case demand <= 0:
	case limit <= demand/MaxUtilisation || math.IsNaN(demand/limit):
		f.Utilisation = MaxUtilisation
	default:
		f.Utilisation = demand / limit
	}
	return f
}

// Hourly makes a Finding of what a damage model came to and its limit.
func Hourly(p damage.Peak, limit float64) Finding {
	f := Compare(p.Value, limit, -1)
	if p.Hour >= 0 && f.Utilisation > 0 {
		f.Day = int16(p.Hour / 24 % 365)
		f.Month = int8(climate.MonthOf[f.Day])
	}
	return f
}

// Worse returns the one of the larger utilisation; b applies.
func Worse(a, b Finding) Finding {
	if !a.Applies || b.Utilisation > a.Utilisation {
		return b
	}
	return a
}

// Result holds every indicator's answer.
type Result [Count]Finding

// Governing returns the applying indicator with the largest utilisation, and
// false when none applies.
func (r *Result) Governing() (ID, bool) {
	best, found := ID(0), false
	for id := range Count {
		if v := &r[id]; v.Applies && (!found || v.Utilisation > r[best].Utilisation) {
			best, found = id, true
		}
	}
	return best, found
}
