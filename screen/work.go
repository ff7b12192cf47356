package screen

import "wallsift/config"

// Readiness says what stands between a building and the start of the work its
// strategy asks for.
type Readiness uint8

// Readinesses, best first.
const (
	StartNow         Readiness = iota // no repair and nothing to find out is listed
	RepairFirst                       // work of a repair stage comes first, or a gate holds
	InvestigateFirst                  // something must be found out first
	NoMeasurePasses                   // not even the best strategy is to be built
	NumReadiness
)

// String returns the words that tables print.
func (r Readiness) String() string {
	return [NumReadiness]string{"start now", "repair first", "investigate first", "no measure passes"}[r]
}

// Action says what a line of a work list asks for.
type Action uint8

// Actions.
const (
	Do          Action = iota
	Investigate        // find out; what is found decides
	Afterwards         // of the measure itself, where something must be found out first
	Clear              // nothing is listed before the work
	Stop               // the strategy is not to be built
	NotNow             // belongs to a strategy that is not to be built
	NumActions
)

// String returns the words that tables print.
func (a Action) String() string {
	return [NumActions]string{"do", "investigate", "after investigation", "start now", "stop", "not now"}[a]
}

// Work is one line of a work list. At most one of Step and Layer is nil for work
// to be done; both are nil for what only gates or doubt ask for.
type Work struct {
	Stage  config.Stage
	Action Action
	Step   *config.Step
	// Layer is built by this line: alone, or by Step.
	Layer   *BuiltLayer
	Gates   []config.Gate      // that wait for this line, or that stop the strategy
	Because []config.Condition // that hold for the building; empty where the strategy itself asks
	// Doubt marks the line that asks to clear up whether limits are kept, Unlikely
	// that which asks to look at a wall whose typical case is not believed.
	Doubt, Unlikely bool
}

// BuiltLayer is a layer of a strategy as it is built: with the thickness that is
// judged, and the label of what it stands between for Bridge.
type BuiltLayer struct {
	config.StrategyLayer // of config.FaceTreatment: its Material alone
	Label                string
	Side                 string // config.SideExterior or SideInterior
	Index, Of            int    // place outside to inside among the strategy's layers of the side, from 1
	Air                  bool   // a gap that is left free
}
