package report

import (
	"math"
	"strings"

	"github.com/apache/arrow/go/v17/arrow"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// kind is the type of an output column.
type kind uint8

const (
	text kind = iota
	whole
	real
)

// cell is one value of any kind; null leaves the cell empty.
type cell struct {
	s    string
	f    float64
	i    int64
	null bool
}

func str(s string) cell  { return cell{s: s, null: s == ""} }
func num(f float64) cell { return cell{f: f, null: math.IsNaN(f) || math.IsInf(f, 0)} }
func count(i int) cell   { return cell{i: int64(i)} }
func (k kind) arrow() arrow.DataType {
	return [...]arrow.DataType{arrow.BinaryTypes.String, arrow.PrimitiveTypes.Int64, arrow.PrimitiveTypes.Float64}[k]
}

// column is one column of the ranking files.
type column struct {
	name     string
	kind     kind
	decimals int  // of reals, in CSV, at most 6
	user     bool // holds text from the inventory
	building bool // is the same for every strategy of a building
	get      func(*line) cell
}

// line is one row of the ranking files: a building under one strategy.
type line struct {
	b      *ingest.Building
	j      *screen.Judgement
	place  int // of the building
	inside int // rank of the strategy within the building
	within int // rank of the building within the strategy
}

// vocabulary holds the texts that repeat in every row, made once.
type vocabulary struct {
	e          *screen.Engine
	strategies []config.Strategy
	gates      map[uint64]string
	steps      map[uint64]string
}

func newVocabulary(e *screen.Engine) *vocabulary {
	return &vocabulary{e: e, strategies: e.Strategies(), gates: map[uint64]string{}, steps: map[uint64]string{}}
}

func (v *vocabulary) gateIDs(bits uint64) string {
	return once(v.gates, bits, func() (ids []string) {
		for _, g := range v.e.GatesOf(bits) {
			ids = append(ids, g.ID)
		}
		return ids
	})
}

func (v *vocabulary) stepIDs(bits uint64) string {
	return once(v.steps, bits, func() (ids []string) {
		for _, s := range v.e.StepsOf(bits) {
			ids = append(ids, s.ID)
		}
		return ids
	})
}

// once joins ids the first time a set of bits is met.
func once(known map[uint64]string, bits uint64, ids func() []string) string {
	s, ok := known[bits]
	if !ok {
		s = strings.Join(ids(), " ")
		known[bits] = s
	}
	return s
}

func level(c ingest.Category) func(*line) cell {
	words := c.Levels()
	return func(l *line) cell { return str(words[l.b.Cat[c]]) }
}

// columns lists the columns of the ranking files. Ride-through columns follow
// the computed ones; one whose name is taken gets "_inventory" behind it.
func columns(run *screen.Run, v *vocabulary) []column {
	files := run.Files()
	govern := func(f func(*line) cell) func(*line) cell {
		return func(l *line) cell {
			if !l.j.HasGovern {
				return cell{null: true}
			}
			return f(l)
		}
	}
	out := []column{
		{name: "place", building: true, kind: whole, get: func(l *line) cell { return count(l.place) }},
		{name: "building_id", building: true, user: true, get: func(l *line) cell { return str(l.b.ID) }},
		{name: "rank_in_building", kind: whole, get: func(l *line) cell { return count(l.inside) }},
		{name: "strategy", get: func(l *line) cell { return str(v.strategies[l.j.Strategy].ID) }},
		{name: "rank_in_strategy", kind: whole, get: func(l *line) cell { return count(l.within) }},
		{name: "verdict", get: func(l *line) cell { return str(l.j.Verdict.String()) }},
		{name: "governing", get: govern(func(l *line) cell { return str(l.j.Governing.Info().Name) })},
		{name: "worst_month", get: govern(func(l *line) cell { return str(month(l.j.Month)) })},
		{name: "utilisation", kind: real, decimals: 3, get: func(l *line) cell { return num(l.j.Typical) }},
		{name: "utilisation_low", kind: real, decimals: 3, get: func(l *line) cell { return num(l.j.Low) }},
		{name: "utilisation_high", kind: real, decimals: 3, get: func(l *line) cell { return num(l.j.High) }},
		{name: "governing_adverse", get: govern(func(l *line) cell { return str(l.j.GoverningHigh.Info().Name) })},
		{name: "demand", kind: real, decimals: 4, get: govern(func(l *line) cell { return num(l.j.Demand) })},
		{name: "limit", kind: real, decimals: 4, get: govern(func(l *line) cell { return num(l.j.Limit) })},
		{name: "unit", get: govern(func(l *line) cell { return str(l.j.Governing.Info().Unit) })},
		{name: "gates", get: func(l *line) cell { return str(v.gateIDs(l.j.Gates)) }},
		{name: "fix_first", get: func(l *line) cell { return str(v.stepIDs(l.j.Do)) }},
		{name: "check_on_site", get: func(l *line) cell { return str(v.stepIDs(l.j.Check)) }},
		{name: "insulation_mm", kind: real, decimals: 0, get: func(l *line) cell { return num(l.j.Thickness * 1000) }},
		{name: "u_before_w_m2k", kind: real, decimals: 3, get: func(l *line) cell { return num(l.j.UBefore) }},
		{name: "u_after_w_m2k", kind: real, decimals: 3, get: func(l *line) cell { return num(l.j.UAfter) }},
		{name: "r_added_m2k_w", kind: real, decimals: 3, get: func(l *line) cell { return num(l.j.RAdded) }},
		{name: "saved_kwh_m2a", kind: real, decimals: 1, get: func(l *line) cell { return num(l.j.Saved) }},
		{name: "saved_kwh_a", kind: real, decimals: 0, get: func(l *line) cell { return num(l.j.Saved * l.b.Num[ingest.WallArea]) }},
		{name: "tier", get: func(*line) cell { return str("steady") }},
	}
	energy := v.e.Energy()
	for _, factor := range []struct {
		name string
		per  *float64
	}{{"saved_cost_a", energy.PricePerKWh}, {"saved_co2_kg_a", energy.CarbonPerKWh}} {
		if factor.per != nil { // the user's figures, never ours
			out = append(out, column{name: factor.name, kind: real, decimals: 2, get: func(l *line) cell {
				return num(l.j.Saved * l.b.Num[ingest.WallArea] * *factor.per)
			}})
		}
	}
	for id := range indicator.Count {
		out = append(out, column{name: "utilisation_" + id.Info().Name, kind: real, decimals: 3, get: func(l *line) cell {
			u := l.j.Utilisation[id]
			return cell{f: u, null: u < 0}
		}})
	}
	out = append(out,
		column{building: true, name: "stone_type", get: func(l *line) cell { return str(l.b.Stone) }},
		column{building: true, name: "wall_thickness_mm", kind: real, decimals: 0, get: func(l *line) cell { return num(l.b.Num[ingest.WallThickness] * 1000) }},
		column{building: true, name: "climate_zone", get: func(l *line) cell { return str(l.b.Zone) }},
		column{building: true, name: "exposure", get: level(ingest.Exposure)},
		column{building: true, name: "embedded_timber", get: level(ingest.EmbeddedTimber)},
		column{building: true, name: "latitude", kind: real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Latitude]) }},
		column{building: true, name: "longitude", kind: real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Longitude]) }},
		column{building: true, name: "group_key", user: true, get: func(l *line) cell { return str(l.b.Text[ingest.GroupKey]) }},
		column{building: true, name: "heating_fuel", user: true, get: func(l *line) cell { return str(l.b.Text[ingest.HeatingFuel]) }},
		column{building: true, name: "last_survey", get: func(l *line) cell { return str(l.b.Text[ingest.LastSurvey]) }},
		column{building: true, name: "file", user: true, get: func(l *line) cell { return str(files[l.b.File]) }},
		column{building: true, name: "line", kind: whole, get: func(l *line) cell { return cell{i: l.b.Line} }},
	)
	taken := map[string]bool{}
	for _, c := range out {
		taken[c.name] = true
	}
	for i, name := range run.ExtraColumns() {
		for taken[name] {
			name += "_inventory"
		}
		taken[name] = true
		out = append(out, column{building: true, name: name, user: true, get: func(l *line) cell {
			if i >= len(l.b.Extra) {
				return cell{null: true}
			}
			return str(l.b.Extra[i])
		}})
	}
	return out
}
