package indicator

import (
	"math"

	"wallsift/model/damage"
)

var frost = measure{
	name: "frost", label: "frost at the face",
	monthly: Info{
		Unit:    "1",
		Demand:  "filling of the outer zone, scaled down when wet frost cycles are few",
		Limit:   "critical filling",
		Formula: "S = min(w_f, w_80 + absorbed / zone) / w_f; demand = S min(1, cycles / cycles_min)",
		Source:  "critical degree of saturation, Fagerlund 1977, on the scale of capillary saturation; from memory; cycle scaling is a screening choice of this tool",
	},
	hourly: Info{
		Unit:    "1/a",
		Demand:  "freeze-thaw cycles above the critical filling that the strategy adds",
		Limit:   "cycles a year that may be added",
		Formula: "cycles through -1 degC with w >= S_crit w_f, less those without the strategy",
		Source:  "critical degree of saturation, Fagerlund 1977, on the scale of capillary saturation; from memory; limit a screening choice of this tool",
	},
}

// frost compares the filling of the outer zone with the critical one. Fewer wet
// cycles a year than FrostCyclesMin scale the demand down.
func (in *Monthly) frost() Finding {
	f, l := &in.Wall.Face, in.Limits
	if !(f.Scrit > 0 && f.Wf > 0) {
		return notJudged
	}
	filling := min(f.Wf, f.W80+in.absorbed(f.Aw)/l.FrostZone) / f.Wf
	return Compare(filling*min(in.FrostCycles/l.FrostCyclesMin, 1), f.Scrit, -1)
}

// FrostAdded compares the damaging cycles that a measure adds with the limit.
// before is the year of the wall as it is under the same draw.
func FrostAdded(before, after *damage.FrostYear, l *Limits) Finding {
	added := after.Cycles - before.Cycles
	if math.IsNaN(added) {
		return notJudged
	}
	return Hourly(damage.Peak{Value: added, Hour: after.Hour}, l.FrostMore)
}
