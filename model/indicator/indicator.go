// Package indicator holds the damage measures a wall is judged by, a file for
// each: its words, what either tier takes as demand and limit, their sources, and
// the monthly tier's equation. The hourly tier's equations are those of
// model/damage. It refuses to weigh measures against each other; that is the
// pipeline's business.
package indicator

// ID names an indicator; it indexes a Result.
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

// measure is an indicator: its words in both tiers, and the equation of the monthly one.
type measure struct {
	name, label, unit string
	monthly, hourly   Info
	judge             func(*Workspace) Finding // nil where the steady tier does not measure it
}

var measures = [Count]*measure{
	SurfaceMould: &surfaceMould, ColdFaceMould: &coldFaceMould, Condensate: &condensate, DryingReserve: &dryingReserve,
	TimberHumidity: &timberHumidity, TimberMoisture: &timberMoisture, TimberDecay: &timberDecay,
	RainProtection: &rainProtection, WetFront: &wetFront, Frost: &frost,
}

// Info returns an indicator's name, label and unit, with the description of the
// steady tier where that measures it.
func (id ID) Info() Info { return id.In(Steady) }

// In returns the description of an indicator in a tier.
func (id ID) In(t Tier) Info {
	m := measures[id]
	info := [...]Info{Steady: m.monthly, Transient: m.hourly}[t]
	info.Name, info.Label, info.Unit = m.name, m.label, m.unit
	return info
}

// Lookup finds an indicator by its name.
func Lookup(name string) (ID, bool) {
	for id := range Count {
		if measures[id].name == name {
			return id, true
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
