package config

import (
	"math"

	"wallsift/model/material"
)

// Zone maps a climate-zone word of the inventory to its default station.
type Zone struct {
	ID      string `mapstructure:"-"`
	Label   string `mapstructure:"label"`
	Station string `mapstructure:"station"`
	Source  string `mapstructure:"source"`
}

// Limit is one number an indicator is judged by, a parameter of a tier or a rate
// of the evidence, with its unit and source.
type Limit struct {
	ID       string     `mapstructure:"-"`
	Label    string     `mapstructure:"label"`
	Value    float64    `mapstructure:"value"`
	Low      *float64   `mapstructure:"low"` // given with High, or neither; see Range
	High     *float64   `mapstructure:"high"`
	Unit     string     `mapstructure:"unit"`
	Possible [2]float64 `mapstructure:"possible"` // as in fields.yaml, both
	Usual    [2]float64 `mapstructure:"usual"`
	Source   string     `mapstructure:"source"`
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
	ID          string  `mapstructure:"-"`
	Label       string  `mapstructure:"label"`
	Terrain     int     `mapstructure:"terrain"`     // roughness category of ISO 15927-3, 1–4
	Obstruction float64 `mapstructure:"obstruction"` // factor O of ISO 15927-3, 0.2–1
	Topography  float64 `mapstructure:"topography"`  // factor C_T of ISO 15927-3
	Wind        float64 `mapstructure:"wind"`        // share of the open-field wind that reaches the face, 0–1
	Sun         float64 `mapstructure:"sun"`         // share of the direct sun that reaches the face, 0–1
	Source      string  `mapstructure:"source"`
}

// Finding says how a fact of the inventory that is not known is found out. The
// id of the row is the field.
type Finding struct {
	ID     string `mapstructure:"-"`
	Label  string `mapstructure:"label"` // words for the field
	Way    string `mapstructure:"way"`   // one of those below
	How    string `mapstructure:"how"`   // one line for who goes there
	Source string `mapstructure:"source"`
}

// Ways to find a fact out, the least trouble first.
const (
	WayDesk    = "desk"    // in records, on maps and pictures
	WayLook    = "look"    // by looking on site
	WayOpen    = "open"    // by opening the building up
	WayMeasure = "measure" // by a test or by instruments on site
)

// OnSite says whether somebody has to go there.
func (f Finding) OnSite() bool { return f.Way != WayDesk }

// Term is a word of the trade with its plain meaning, and the words it replaces,
// which no output uses any more.
type Term struct {
	ID      string   `mapstructure:"-"`
	Label   string   `mapstructure:"label"`
	Meaning string   `mapstructure:"meaning"`
	Retired []string `mapstructure:"retired"`
	Source  string   `mapstructure:"source"`
}

// Cost is what a strategy or a step costs, in the user's currency. The id of the
// row is that of the strategy or step. No figure is built in.
type Cost struct {
	ID      string  `mapstructure:"-"`
	PerM2   float64 `mapstructure:"per_m2"`    // for each m² of wall
	PerM2MM float64 `mapstructure:"per_m2_mm"` // for each m² of wall and mm of the sized layer
	PerHome float64 `mapstructure:"per_home"`
	Source  string  `mapstructure:"source"`
}

// Of is the cost of the work over a wall area, m², with a sized layer of a
// thickness, mm.
func (c *Cost) Of(area, mm float64) float64 { return area*(c.PerM2+c.PerM2MM*mm) + c.PerHome }

// Condition is one test on a fact of the building. Exactly one of In, Below
// and Above is used. Field names a category or number column of the inventory
// without its unit; numbers are compared in SI. A fact that is not known makes
// the condition false unless In lists "unknown".
type Condition struct {
	Field string   `mapstructure:"field"`
	In    []string `mapstructure:"in"`
	Below *float64 `mapstructure:"below"`
	Above *float64 `mapstructure:"above"`
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
	ID     string      `mapstructure:"-"`
	Label  string      `mapstructure:"label"`
	When   []Condition `mapstructure:"when"`
	Effect string      `mapstructure:"effect"`
	Tier   string      `mapstructure:"tier"` // the one it acts in, empty = any
	Step   string      `mapstructure:"step"` // the step that lifts a hold
	Reason string      `mapstructure:"reason"`
	Source string      `mapstructure:"source"`
}

// Step is one piece of preparatory work. It is needed when all conditions of
// When are true, and worth a look on site when all of Check are (usually: the
// fact is unknown). Sets lists the facts that hold once the work is done; the
// strategy is judged in that state.
type Step struct {
	ID            string            `mapstructure:"-"`
	Label         string            `mapstructure:"label"`
	Order         int               `mapstructure:"order"` // order of work on site, small first
	When          []Condition       `mapstructure:"when"`
	Check         []Condition       `mapstructure:"check"`
	Sets          map[string]string `mapstructure:"sets"`
	Stage         string            `mapstructure:"stage"`  // empty = by Order, see StageOf
	Builds        string            `mapstructure:"builds"` // the material of the layer that it makes, or FaceTreatment
	Reason        string            `mapstructure:"reason"`
	Caution       string            `mapstructure:"caution"`
	CautionSource string            `mapstructure:"caution_source"`
	Source        string            `mapstructure:"source"`
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
	Material    string  `mapstructure:"material"`
	Thickness   float64 `mapstructure:"thickness"` // m
	Sized       bool    `mapstructure:"sized"`
	R           float64 `mapstructure:"r"`            // m²K/W, air layers
	Bridge      string  `mapstructure:"bridge"`       // material of studs or battens, for the U-value only
	BridgeShare float64 `mapstructure:"bridge_share"` // 0–1
	Drained     bool    `mapstructure:"drained"`      // air layers, in the transient tier
	AirChange   float64 `mapstructure:"air_change"`   // 1/h with outdoor air, likewise
	Stage       string  `mapstructure:"stage"`        // empty = by the stages table, see StageOfLayer
}

// Thickness is the range of a strategy's sized layer, m.
type Thickness struct {
	Min     float64 `mapstructure:"min"`
	Typical float64 `mapstructure:"typical"`
	Max     float64 `mapstructure:"max"`
	Step    float64 `mapstructure:"step"`
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
	Label    string         `mapstructure:"label"`
	AwFactor material.Range `mapstructure:"a_w_factor"` // multiplies A_w of the face, 0–1
	SdAdd    float64        `mapstructure:"sd_add"`     // m
	Only     []string       `mapstructure:"only"`       // outer finishes that take it; others keep their face
	Source   string         `mapstructure:"source"`
}

// HoldBack is a strip of wall that a lining inside leaves bare at the joists, so
// that their ends stay warmer.
type HoldBack struct {
	Height float64 `mapstructure:"height"` // m
	Source string  `mapstructure:"source"`
}

// Finish says what a finish word of the inventory stands for.
type Finish struct {
	ID        string         `mapstructure:"-"`
	Field     string         `mapstructure:"field"` // outer_finish or inner_finish
	Level     string         `mapstructure:"level"` // the word
	Material  string         `mapstructure:"material"`
	Thickness float64        `mapstructure:"thickness"` // m
	UptakeW   material.Range `mapstructure:"uptake_w"`  // w of a film, kg/(m²·h½), which caps what the face takes up
	Source    string         `mapstructure:"source"`
}

// Prior says how likely a level of a category is where the inventory does not know it.
type Prior struct {
	ID     string  `mapstructure:"-"`
	Field  string  `mapstructure:"field"`
	Level  string  `mapstructure:"level"`
	Weight float64 `mapstructure:"weight"` // ≥ 0
	Source string  `mapstructure:"source"`
}

// Strategy is one way to retrofit a wall. Layers are listed from outside to
// inside: Outside goes on the outer face, Inside on the inner face.
type Strategy struct {
	ID            string          `mapstructure:"-"`
	Label         string          `mapstructure:"label"`
	Summary       string          `mapstructure:"summary"`
	Order         int             `mapstructure:"order"` // listing order
	Side          string          `mapstructure:"side"`
	StripInner    bool            `mapstructure:"strip_inner"` // the old inner finish comes off first
	Outside       []StrategyLayer `mapstructure:"outside"`
	Inside        []StrategyLayer `mapstructure:"inside"`
	Thickness     Thickness       `mapstructure:"thickness"`
	Face          *Face           `mapstructure:"face"`
	HoldBack      *HoldBack       `mapstructure:"hold_back"`
	Gates         []string        `mapstructure:"gates"`
	Steps         []string        `mapstructure:"steps"`      // preparatory steps that may apply
	Indicators    []string        `mapstructure:"indicators"` // indicator ids that judge it
	Warning       string          `mapstructure:"warning"`    // one that has it is never suited
	Caution       string          `mapstructure:"caution"`
	CautionSource string          `mapstructure:"caution_source"`
	Source        string          `mapstructure:"source"`
}
