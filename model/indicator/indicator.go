// Package indicator names the damage measures a wall is judged by, and judges
// those of the steady tier: one file per measure, each returning demand, limit
// and utilisation. It refuses to weigh them against each other; that is the
// pipeline's business.
package indicator

import "math"

// ID names an indicator; it indexes Result.Values.
type ID uint8

// The indicators. RainProtection is the steady tier's alone: the transient tier
// computes what it stands for. ColdFaceMould, TimberMoisture and TimberDecay are
// the transient tier's alone. The rest are measured by either in its own way.
const (
	SurfaceMould ID = iota
	ColdFaceMould
	Condensate
	DryingReserve
	TimberHumidity
	TimberMoisture
	TimberDecay
	RainProtection
	WetFront
	Frost
	Count
)

// Tier is a method of judging.
type Tier uint8

// The tiers.
const (
	Steady    Tier = iota // monthly balances
	Transient             // hourly heat and moisture transport
)

// String returns the word for the tier.
func (t Tier) String() string { return [...]string{"steady", "transient"}[t] }

// Info describes how a tier measures an indicator, for tables and explanations.
// Demand is empty where the tier does not.
type Info struct {
	Name    string // id used in strategies
	Label   string
	Demand  string // what the demand is
	Limit   string // what the limit is
	Unit    string // of demand and limit; "1" for ratios
	Formula string
	Source  string
}

var monthly = [Count]Info{
	ColdFaceMould:  {Name: "cold_face_mould", Label: "mould at the cold face of the insulation", Unit: "1"},
	TimberMoisture: {Name: "timber_moisture", Label: "moisture content of embedded timber", Unit: "kg/kg"},
	TimberDecay:    {Name: "timber_decay", Label: "rot of embedded timber", Unit: "1"},
	SurfaceMould: {
		Name: "surface_mould", Label: "mould at the inner surface", Unit: "1",
		Demand:  "temperature deficit of the surface, 1 - fRsi",
		Limit:   "largest deficit in the worst month, 1 - fRsi,min",
		Formula: "fRsi = (Rse + R) / (Rse + R + Rsi); fRsi,min = (theta_dew(p_i / 0.80) - theta_e) / (theta_i - theta_e)",
		Source:  "ISO 13788:2012 clause 5",
	},
	Condensate: {
		Name: "condensate", Label: "condensate within the wall", Unit: "kg/m2",
		Demand:  "most condensate held in the year",
		Limit:   "what the plane may hold",
		Formula: "g = 2e-10 (dp/ds_inner - dp/ds_outer), carried from month to month",
		Source:  "ISO 13788:2012 clause 6; limit DIN 4108-3, from memory",
	},
	DryingReserve: {
		Name: "drying_reserve", Label: "drying reserve", Unit: "kg/m2a",
		Demand:  "water that comes in each year (condensate, 1 % of the driving rain, 0.1 kg/m2 by air leaks)",
		Limit:   "water the plane can give off in a year",
		Formula: "sum over months of 2e-10 ((p_sat - p_e) / s_outer + (p_sat - p_i) / s_inner) t, where positive",
		Source:  "ISO 13788:2012 clause 6.4.4; incidental wetting ASHRAE 160 and DIN 68800-2, from memory",
	},
	TimberHumidity: {
		Name: "timber_humidity", Label: "humidity at embedded timber", Unit: "1",
		Demand:  "monthly mean pore humidity at the timber",
		Limit:   "pore humidity limit at its temperature",
		Formula: "phi = p / p_sat(theta); limit falls in a straight line from 0 to 30 degC",
		Source:  "WTA 6-8, from memory, applied to monthly means",
	},
	RainProtection: {
		Name: "rain_protection", Label: "rain protection of the face", Unit: "kg/m2h05",
		Demand:  "water absorption w of the face, or s_d, or w s_d, whichever governs",
		Limit:   "what the rain load on the wall allows",
		Formula: "w = 60 A_w; load from I_WA = I_A C_R C_T O W",
		Source:  "DIN 4108-3, from memory; rain load ISO 15927-3",
	},
	WetFront: {
		Name: "wet_front", Label: "depth of the wet front", Unit: "m",
		Demand:  "depth that a long driving-rain spell wets",
		Limit:   "share of the masonry that may be wetted",
		Formula: "depth = min(spell, A_w sqrt(t)) / w_f",
		Source:  "sharp-front model of capillary uptake; limit common practice, no source",
	},
	Frost: {
		Name: "frost", Label: "frost at the face", Unit: "1",
		Demand:  "degree of saturation of the outer zone, scaled down when wet frost cycles are few",
		Limit:   "critical degree of saturation",
		Formula: "S = min(w_f, w_80 + absorbed / zone) / (1000 porosity); demand = S min(1, cycles / cycles_min)",
		Source:  "Fagerlund's critical saturation, from memory; cycle scaling is a screening choice of this tool",
	},
}

// Info returns the description of an indicator in the steady tier; its name,
// label are the same in both.
func (id ID) Info() Info { return monthly[id] }

// In returns the description of an indicator in a tier.
func (id ID) In(t Tier) Info {
	if t == Steady {
		return monthly[id]
	}
	info := hourly[id]
	info.Name, info.Label = monthly[id].Name, monthly[id].Label
	return info
}

// Lookup finds an indicator by its name.
func Lookup(name string) (ID, bool) {
	for id := range monthly {
		if monthly[id].Name == name {
			return ID(id), true
		}
	}
	return 0, false
}

// Set is a set of indicators, one bit each.
type Set uint16

// With returns the set with id added.
func (s Set) With(id ID) Set { return s | 1<<id }

// Has says whether id is in the set.
func (s Set) Has(id ID) bool { return s&(1<<id) != 0 }

// MaxUtilisation caps a utilisation whose limit is next to nothing, so that
// tables and files never hold an infinity.
const MaxUtilisation = 99

// Value is one indicator's answer.
type Value struct {
	Demand      float64
	Limit       float64
	Utilisation float64 // demand ÷ limit, 1 = at the limit, 0…MaxUtilisation
	Month       int8    // 0–11 of the worst moment, -1 when it has none
	Day         int16   // 0–364 of the worst moment, -1 when only the month is known or none
	Applies     bool    // false when the indicator was not asked for or has nothing to judge
}

// Compare makes a Value of a demand and its limit; month is -1 for none.
func Compare(demand, limit float64, month int) Value { return value(demand, limit, month) }

func value(demand, limit float64, month int) Value {
	v := Value{Demand: demand, Limit: limit, Month: int8(month), Day: -1, Applies: true}
	switch {
	case demand <= 0:
	case limit <= demand/MaxUtilisation || math.IsNaN(demand/limit):
		v.Utilisation = MaxUtilisation
	default:
		v.Utilisation = demand / limit
	}
	return v
}
