package config

import (
	"wallsift/model/climate"
	"wallsift/model/material"
)

// Config is the effective configuration: sections of settings, then tables by id of
// row. Describe says what each value means.
type Config struct {
	Input  Input  `mapstructure:"input"`
	Indoor Indoor `mapstructure:"indoor"`
	Energy Energy `mapstructure:"energy"`
	Run    Run    `mapstructure:"run"`
	Engine Engine `mapstructure:"engine"`
	Chance Chance `mapstructure:"chance"`
	Survey Survey `mapstructure:"survey"`
	Output Output `mapstructure:"output"`
	Rank   Rank   `mapstructure:"rank"`

	Programme Programme `mapstructure:"programme" json:"-"` // of no effect on a result

	Materials  map[string]material.Material `mapstructure:"materials"`
	Stations   map[string]climate.Station   `mapstructure:"stations"`
	Zones      map[string]Zone              `mapstructure:"zones"`
	Strategies map[string]Strategy          `mapstructure:"strategies"`
	Finishes   map[string]Finish            `mapstructure:"finishes"`
	Gates      map[string]Gate              `mapstructure:"gates"`
	Steps      map[string]Step              `mapstructure:"steps"`
	Stages     map[string]Stage             `mapstructure:"stages"`
	Limits     map[string]Limit             `mapstructure:"limits"`
	Evidence   map[string]Limit             `mapstructure:"evidence"`
	Exposures  map[string]Exposure          `mapstructure:"exposures"`
	Priors     map[string]Prior             `mapstructure:"priors"`
	Findings   map[string]Finding           `mapstructure:"findings"`
	Glossary   map[string]Term              `mapstructure:"glossary"`
	Costs      map[string]Cost              `mapstructure:"costs" json:"-"` // of no effect on a result
}

// Input says how inventories are read.
type Input struct {
	Delimiter      string   `mapstructure:"delimiter"`        // one character, or auto
	MaxRecordBytes int      `mapstructure:"max_record_bytes"` // largest CSV record
	BatchRows      int      `mapstructure:"batch_rows"`       // rows a record batch
	Columns        []Column `mapstructure:"columns"`
	Aliases        []Alias  `mapstructure:"aliases"`
}

// Column maps a header of the inventory to a column that it fills.
type Column struct {
	From string `mapstructure:"from"`
	To   string `mapstructure:"to"`
}

// Alias maps a value of a field, as the inventory writes it, to the word it stands for.
type Alias struct {
	Field string `mapstructure:"field"`
	From  string `mapstructure:"from"`
	To    string `mapstructure:"to"`
}

// ColumnMap returns the header → canonical names mapping, in the order given.
func (in *Input) ColumnMap() map[string][]string {
	m := make(map[string][]string, len(in.Columns))
	for _, c := range in.Columns {
		m[c.From] = append(m[c.From], c.To)
	}
	return m
}

// AliasMap returns the field → value → canonical value mapping.
func (in *Input) AliasMap() map[string]map[string]string {
	m := map[string]map[string]string{}
	for _, a := range in.Aliases {
		if m[a.Field] == nil {
			m[a.Field] = map[string]string{}
		}
		m[a.Field][a.From] = a.To
	}
	return m
}

// IndoorEN15026 is the indoor climate method of EN 15026 annex C.
const IndoorEN15026 = "en15026"

// Indoor is the indoor climate.
type Indoor struct {
	Method       string     `mapstructure:"method"`
	Temperature  float64    `mapstructure:"temperature_c"` // °C, humidity_class only
	DefaultClass ClassRange `mapstructure:"default_humidity_class"`
}

// ClassRange is an ISO 13788 humidity class with its spread, 1–5.
type ClassRange struct {
	Low     int `mapstructure:"low"`
	Typical int `mapstructure:"typical"`
	High    int `mapstructure:"high"`
}

// Energy holds what turns a better U-value into a saving. Price and carbon are
// nil unless the user gives them.
type Energy struct {
	BaseTemperature float64  `mapstructure:"base_temperature_c"` // °C
	PricePerKWh     *float64 `mapstructure:"price_per_kwh"`      // the user's currency a kWh
	CarbonPerKWh    *float64 `mapstructure:"carbon_kg_per_kwh"`  // kg CO₂e a kWh
}

// Run says how a run is carried out.
type Run struct {
	Workers          int     `mapstructure:"workers"` // 0 = one per core
	Seed             int     `mapstructure:"seed"`
	MaxRejectedShare float64 `mapstructure:"max_rejected_share"` // 0–1
	Tier             string  `mapstructure:"tier"`
	Weather          string  `mapstructure:"weather"`
}

// Tiers a run can be asked for.
const (
	TierSteady    = "steady"
	TierTransient = "transient"
	TierAuto      = "auto" // steady, and transient where that leaves doubt
)

// Engine steers the numerics of the transient tier.
type Engine struct {
	Cells            int     `mapstructure:"cells"`              // cells in a wall
	BlockHours       int     `mapstructure:"block_hours"`        // hours without rain averaged in the judged year, 1 = none
	SettleBlockHours int     `mapstructure:"settle_block_hours"` // the same in the years before
	Tolerance        float64 `mapstructure:"tolerance"`          // factor on 0.1 K, 0.5 % RH a step
	MaxYears         int     `mapstructure:"max_years"`          // to find the yearly state
	DoubtFrom        float64 `mapstructure:"doubt_from"`         // utilisations between which tier auto
	DoubtTo          float64 `mapstructure:"doubt_to"`           // asks the transient tier
}

// Chance steers the sampling of what is not known.
type Chance struct {
	Draws          int     `mapstructure:"draws"`            // most draws a judgement, 0 = none
	Confidence     float64 `mapstructure:"confidence"`       // 0.5–1
	SuitedBelow    float64 `mapstructure:"suited_below"`     // 0–1
	NotSuitedAbove float64 `mapstructure:"not_suited_above"` // 0–1
}

// Survey says how surveys are planned.
type Survey struct {
	SpareBelow   float64 `mapstructure:"spare_below"`    // 0–1
	VisitsPerDay int     `mapstructure:"visits_per_day"` // 0 = visits are not put into rounds
}

// Output says where and how results are written.
type Output struct {
	Dir       string   `mapstructure:"dir"`
	Format    string   `mapstructure:"format"`
	Top       int      `mapstructure:"top"` // rows printed, 0 = all
	Units     string   `mapstructure:"units"`
	Currency  string   `mapstructure:"currency"`
	Files     []string `mapstructure:"files"` // none = by the size of the run
	FullHomes int      `mapstructure:"full_homes"`
	Address   []string `mapstructure:"address"` // headers of own columns, as Withhold
	Withhold  []string `mapstructure:"withhold"`
	Personal  []string `mapstructure:"personal"` // parts of headers
}

// Systems of units of printed tables. Files for machines are SI in both.
const (
	UnitsSI = "si"
	UnitsIP = "ip" // inch-pound: in, ft, °F, Btu, R-values
)

// Rank holds the parameters of the ranking rule.
type Rank struct {
	MarginSteps []float64 `mapstructure:"margin_steps"` // utilisations that separate the grades, rising
}

// Orders of a programme.
const (
	BySaving = "saving"
	ByCost   = "cost"
	ByRisk   = "risk"
)

// Programme says which homes are wanted this year. Budget and Target are nil where
// they do not bound it.
type Programme struct {
	By     string   `mapstructure:"by"`
	Budget *float64 `mapstructure:"budget"`       // the user's currency
	Target *float64 `mapstructure:"target_kwh_a"` // kWh/a
	Homes  int      `mapstructure:"homes"`        // 0 = no bound
}
