package config

import (
	"math"

	"wallsift/model/material"
)

// Zone maps a climate-zone word of the inventory to its default station.
type Zone struct {
	ID      string `mapstructure:"-" yaml:"-"`
	Label   string `mapstructure:"label" yaml:"label"`
	Station string `mapstructure:"station" yaml:"station"`
	Source  string `mapstructure:"source" yaml:"source"`
	Drop    bool   `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Limit is one number an indicator is judged by, a parameter of a tier or a rate
// of the evidence, with its unit and source.
type Limit struct {
	ID    string  `mapstructure:"-" yaml:"-"`
	Label string  `mapstructure:"label" yaml:"label"`
	Value float64 `mapstructure:"value" yaml:"value"`
	// Low and High span what is not known about the value; both are given or
	// neither (Range).
	Low  *float64 `mapstructure:"low" yaml:"low,omitempty"`
	High *float64 `mapstructure:"high" yaml:"high,omitempty"`
	Unit string   `mapstructure:"unit" yaml:"unit"`
	// Possible holds the least and the greatest value that can be meant; others
	// are refused. Values outside Usual are noted. Nothing given checks nothing.
	Possible [2]float64 `mapstructure:"possible" yaml:"possible,omitempty,flow"`
	Usual    [2]float64 `mapstructure:"usual" yaml:"usual,omitempty,flow"`
	Source   string     `mapstructure:"source" yaml:"source"`
	Drop     bool       `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Range returns the value with its spread; without one all three are equal.
func (l *Limit) Range() material.Range {
	r := material.Range{Low: l.Value, Typical: l.Value, High: l.Value}
	if l.Low != nil && l.High != nil {
		r.Low, r.High = *l.Low, *l.High
	}
	return r
}

// Exposure says what an exposure word of the inventory means for the site: what
// stands around the wall, not how hard it rains there, which the station knows.
type Exposure struct {
	ID          string  `mapstructure:"-" yaml:"-"`
	Label       string  `mapstructure:"label" yaml:"label"`
	Terrain     int     `mapstructure:"terrain" yaml:"terrain"`         // roughness category of ISO 15927-3, 1–4
	Obstruction float64 `mapstructure:"obstruction" yaml:"obstruction"` // factor O of ISO 15927-3, 0.2–1
	Topography  float64 `mapstructure:"topography" yaml:"topography"`   // factor C_T of ISO 15927-3
	Wind        float64 `mapstructure:"wind" yaml:"wind"`               // share of the open-field wind that reaches the face, 0–1
	Sun         float64 `mapstructure:"sun" yaml:"sun"`                 // share of the direct sun that reaches the face, 0–1
	Source      string  `mapstructure:"source" yaml:"source"`
	Drop        bool    `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Term is a word of the trade with its plain meaning, and the words it replaces,
// which no output uses any more.
type Term struct {
	ID      string   `mapstructure:"-" yaml:"-"`
	Label   string   `mapstructure:"label" yaml:"label"`
	Meaning string   `mapstructure:"meaning" yaml:"meaning"`
	Retired []string `mapstructure:"retired" yaml:"retired,omitempty,flow"`
	Source  string   `mapstructure:"source" yaml:"source"`
	Drop    bool     `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Condition is one test on a fact of the building. Exactly one of In, Below
// and Above is used. Field names a category or number column of the inventory
// without its unit; numbers are compared in SI. A fact that is not known makes
// the condition false unless In lists "unknown".
type Condition struct {
	Field string   `mapstructure:"field" yaml:"field"`
	In    []string `mapstructure:"in" yaml:"in,omitempty,flow"`
	Below *float64 `mapstructure:"below" yaml:"below,omitempty"`
	Above *float64 `mapstructure:"above" yaml:"above,omitempty"`
}

// Effects of a gate.
const (
	EffectExclude = "exclude" // the strategy is not suited, whatever the physics say
	EffectHold    = "hold"    // held until the gate's step is done
	EffectSurvey  = "survey"  // cannot be judged before the fact is known
)

// Gate is a rule that excludes, holds or defers a strategy. All conditions of
// When must be true for it to act.
type Gate struct {
	ID     string      `mapstructure:"-" yaml:"-"`
	Label  string      `mapstructure:"label" yaml:"label"`
	When   []Condition `mapstructure:"when" yaml:"when"`
	Effect string      `mapstructure:"effect" yaml:"effect"`
	// Tier limits the gate to what one tier judges; empty means any.
	Tier   string `mapstructure:"tier" yaml:"tier,omitempty"`
	Step   string `mapstructure:"step" yaml:"step,omitempty"` // the step that lifts a hold
	Reason string `mapstructure:"reason" yaml:"reason"`
	Source string `mapstructure:"source" yaml:"source"`
	Drop   bool   `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Step is one piece of preparatory work. It is needed when all conditions of
// When are true, and worth a look on site when all of Check are (usually: the
// fact is unknown). Sets lists the facts that hold once the work is done; the
// strategy is judged in that state.
type Step struct {
	ID    string            `mapstructure:"-" yaml:"-"`
	Label string            `mapstructure:"label" yaml:"label"`
	Order int               `mapstructure:"order" yaml:"order"` // order of work on site, small first
	When  []Condition       `mapstructure:"when" yaml:"when,omitempty"`
	Check []Condition       `mapstructure:"check" yaml:"check,omitempty"`
	Sets  map[string]string `mapstructure:"sets" yaml:"sets,omitempty"`
	// Stage is the stage of work; where it is empty, StageOf takes it from Order.
	Stage string `mapstructure:"stage" yaml:"stage,omitempty"`
	// Builds names the material of the strategy's layer that this step makes, or
	// FaceTreatment, so that a work list names both on one line.
	Builds string `mapstructure:"builds" yaml:"builds,omitempty"`
	Reason string `mapstructure:"reason" yaml:"reason"`
	// Caution names the dangers of the work to people, home and building.
	Caution       string `mapstructure:"caution" yaml:"caution"`
	CautionSource string `mapstructure:"caution_source" yaml:"caution_source"`
	Source        string `mapstructure:"source" yaml:"source"`
	Drop          bool   `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Sides a strategy adds layers to.
const (
	SideNone     = "none"
	SideInterior = "interior"
	SideExterior = "exterior"
)

// StrategyLayer is one layer a strategy adds. Exactly one layer of a strategy
// that insulates is Sized: its thickness is the strategy's Thickness. A layer
// of an air gap gives its thermal resistance R instead of a conductivity.
type StrategyLayer struct {
	Material  string  `mapstructure:"material" yaml:"material"`
	Thickness float64 `mapstructure:"thickness" yaml:"thickness,omitempty"` // m
	Sized     bool    `mapstructure:"sized" yaml:"sized,omitempty"`
	R         float64 `mapstructure:"r" yaml:"r,omitempty"` // m²K/W, air layers
	// Bridge names a material (studs, battens) that replaces this layer over
	// BridgeShare of its area, for the U-value only.
	Bridge      string  `mapstructure:"bridge" yaml:"bridge,omitempty"`
	BridgeShare float64 `mapstructure:"bridge_share" yaml:"bridge_share,omitempty"` // 0–1
	// Drained lets water run out of an air layer, AirChange (1/h) vents it with
	// outdoor air; the transient tier uses both.
	Drained   bool    `mapstructure:"drained" yaml:"drained,omitempty"`
	AirChange float64 `mapstructure:"air_change" yaml:"air_change,omitempty"`
	// Stage is the stage of work the layer is built in; where it is empty, the
	// stages table says it by material or kind (StageOfLayer).
	Stage string `mapstructure:"stage" yaml:"stage,omitempty"`
}

// Thickness is the range of a strategy's sized layer, m.
type Thickness struct {
	Min     float64 `mapstructure:"min" yaml:"min"`
	Typical float64 `mapstructure:"typical" yaml:"typical"`
	Max     float64 `mapstructure:"max" yaml:"max"`
	Step    float64 `mapstructure:"step" yaml:"step"`
}

// Steps returns how many thicknesses the layer comes in, 0 without a sized layer.
func (t *Thickness) Steps() int {
	if t.Max == 0 {
		return 0
	}
	return 1 + int(math.Ceil((t.Max-t.Min)/t.Step-1e-6))
}

// At returns step k from the thinnest, k from 0 to Steps()−1, m. The last is the
// thickest of the range, whatever the step.
func (t *Thickness) At(k int) float64 { return min(t.Min+float64(k)*t.Step, t.Max) }

// Face is a treatment of the outer face that comes with a strategy.
type Face struct {
	Label    string         `mapstructure:"label" yaml:"label"`
	AwFactor material.Range `mapstructure:"a_w_factor" yaml:"a_w_factor,flow"` // multiplies A_w of the face, 0–1
	SdAdd    float64        `mapstructure:"sd_add" yaml:"sd_add"`              // m
	// Only lists the outer finishes that can take the treatment; others keep
	// their face as it is.
	Only   []string `mapstructure:"only" yaml:"only,omitempty,flow"`
	Source string   `mapstructure:"source" yaml:"source"`
}

// HoldBack is a strip of wall that a lining inside leaves bare at the joists, so
// that their ends stay warmer.
type HoldBack struct {
	Height float64 `mapstructure:"height" yaml:"height"` // m
	Source string  `mapstructure:"source" yaml:"source"`
}

// Finish says what a finish word of the inventory stands for.
type Finish struct {
	ID        string         `mapstructure:"-" yaml:"-"`
	Field     string         `mapstructure:"field" yaml:"field"` // outer_finish or inner_finish
	Level     string         `mapstructure:"level" yaml:"level"` // the word
	Material  string         `mapstructure:"material" yaml:"material,omitempty"`
	Thickness float64        `mapstructure:"thickness" yaml:"thickness,omitempty"`   // m
	AwFactor  material.Range `mapstructure:"a_w_factor" yaml:"a_w_factor,omitempty"` // 0–1; none given means 1
	// UptakeW is the liquid water permeability w of a film on the face,
	// kg/(m²·h½): it caps what the face takes up. None given means no film.
	UptakeW material.Range `mapstructure:"uptake_w" yaml:"uptake_w,omitempty"`
	Source  string         `mapstructure:"source" yaml:"source"`
	Drop    bool           `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Prior says how likely a level of a category is where the inventory does not
// know it. The rows of a field are weighed against each other.
type Prior struct {
	ID     string  `mapstructure:"-" yaml:"-"`
	Field  string  `mapstructure:"field" yaml:"field"`
	Level  string  `mapstructure:"level" yaml:"level"`
	Weight float64 `mapstructure:"weight" yaml:"weight"` // ≥ 0
	Source string  `mapstructure:"source" yaml:"source"`
	Drop   bool    `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Strategy is one way to retrofit a wall. Layers are listed from outside to
// inside: Outside goes on the outer face, Inside on the inner face.
type Strategy struct {
	ID         string          `mapstructure:"-" yaml:"-"`
	Label      string          `mapstructure:"label" yaml:"label"`
	Summary    string          `mapstructure:"summary" yaml:"summary"`
	Order      int             `mapstructure:"order" yaml:"order"` // listing order
	Side       string          `mapstructure:"side" yaml:"side"`
	StripInner bool            `mapstructure:"strip_inner" yaml:"strip_inner,omitempty"` // the old inner finish comes off first
	Outside    []StrategyLayer `mapstructure:"outside" yaml:"outside,omitempty"`
	Inside     []StrategyLayer `mapstructure:"inside" yaml:"inside,omitempty"`
	Thickness  Thickness       `mapstructure:"thickness" yaml:"thickness,omitempty,flow"`
	Face       *Face           `mapstructure:"face" yaml:"face,omitempty"`
	HoldBack   *HoldBack       `mapstructure:"hold_back" yaml:"hold_back,omitempty,flow"`
	Gates      []string        `mapstructure:"gates" yaml:"gates,flow"`
	Steps      []string        `mapstructure:"steps" yaml:"steps,flow"`           // preparatory steps that may apply
	Indicators []string        `mapstructure:"indicators" yaml:"indicators,flow"` // indicator ids that judge it
	// Warning is printed wherever the strategy is; a strategy that has one is
	// never suited.
	Warning string `mapstructure:"warning" yaml:"warning,omitempty"`
	// Caution names the dangers of the work to people, home and building.
	Caution       string `mapstructure:"caution" yaml:"caution"`
	CautionSource string `mapstructure:"caution_source" yaml:"caution_source"`
	Source        string `mapstructure:"source" yaml:"source"`
	Drop          bool   `mapstructure:"drop" yaml:"drop,omitempty"`
}
