package indicator

import (
	"math"

	"wallsift/model/damage"
)

var frost = measure{
	name: "frost", label: "frost at the face", unit: "1",
	judge: (*Workspace).frost,
	monthly: Info{
		Demand:  "filling of the outer zone, scaled down when wet frost cycles are few",
		Limit:   "critical filling",
		Formula: "S = min(w_f, w_80 + absorbed / zone) / w_f; demand = S min(1, cycles / cycles_min)",
		Source:  "critical degree of saturation, Fagerlund 1977, on the scale of capillary saturation; from memory; cycle scaling is a screening choice of this tool",
	},
	hourly: Info{
		Demand:  "filling of the pores in the fullest frost that the strategy adds",
		Limit:   "critical filling",
		Formula: "w / w_f in frost n of the year, fullest first; n = damaging frosts without the strategy + frosts that may be added + 1",
		Source:  "critical degree of saturation, Fagerlund 1977, on the scale of capillary saturation; from memory",
	},
}

// frost compares the filling of the outer zone with the critical one. Fewer wet
// cycles a year than FrostCyclesMin scale the demand down.
func (in *Monthly) frost() Finding {
	f, l := &in.Wall.Face, in.Limits
	if !(f.Scrit > 0 && f.Wf > 0) {
		return notJudged
	}
	filling := min(f.Wf, f.W80+in.Rain.Absorbed(f.Aw)/l.FrostZone) / f.Wf
	return Compare(filling*min(in.FrostCycles/l.FrostCyclesMin, 1), f.Scrit, -1)
}

// FrostAdded compares with the critical filling the fullest frost that a measure
// makes worse: as many fuller ones as did damage before are left out, and as many
// as it may add. before is the year of the wall as it is under the same draw.
func FrostAdded(before, after *damage.FrostYear, l *Limits) Finding {
	if math.IsNaN(before.Cycles) || math.IsNaN(after.Cycles) {
		return notJudged
	}
	p := after.Fullest[min(int(before.Cycles+l.FrostMore), len(after.Fullest)-1)]
	return Hourly(damage.Peak{Value: float64(p.Filling), Hour: int(p.Hour)}, after.Critical)
}
