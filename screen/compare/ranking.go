package compare

import (
	"context"
	"math"
	"slices"
	"strconv"
	"unique"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/results"
)

// The columns that are read, beside facts and those compared. Without building,
// strategy and verdict a file is no ranking; any other column may be missing.
const (
	buildingColumn = "building_id"
	wallsColumn    = "walls"
	inputsColumn   = "inputs_sha256" // of all facts, also those without a column
	zoneColumn     = "climate_zone"
)

// Columns of a row that are compared.
const (
	strategy = iota
	verdict
	governing
	readiness
	gates
	fixFirst
	checkOnSite
	rank
	utilisation
	chanceLow
	chanceHigh
	insulation
	saved
	tier
	numCompared
)

// Kinds of compared columns; those of numbers are the decimals that are read. A
// number differs where it differs as printed.
const (
	words = -1 - iota
	ids   // with blanks between them
)

var compared = [numCompared]struct {
	name  string
	kind  int
	label string // as the tables of a run are headed
}{
	strategy:    {"strategy", words, "strategy"},
	verdict:     {"verdict", words, "verdict"},
	governing:   {"governing", words, "governed by"},
	readiness:   {"readiness", words, "readiness"},
	gates:       {"gates", ids, "rules that act"},
	fixFirst:    {"fix_first", ids, "before or with the measure"},
	checkOnSite: {"check_on_site", ids, "investigate first"},
	rank:        {"rank_in_building", 0, "rank in building"},
	utilisation: {"utilisation", 3, "share of the limit"},
	chanceLow:   {"chance_low", 3, "chance, low"},
	chanceHigh:  {"chance_high", 3, "chance, high"},
	insulation:  {"insulation_mm", 0, "insulation judged, mm"},
	saved:       {"saved_kwh_a", 0, "saved, kWh/a"},
	tier:        {"tier", words, "judged by"},
}

// word is a text of either run. Texts repeat, and handles are light to hold.
type word = unique.Handle[string]

// row is a building under a strategy in one run.
type row [numCompared]word

// of is the cell of a column, empty where it says nothing or a run has no such row.
func (r *row) of(column int) string {
	if r == nil {
		return ""
	}
	return r[column].Value()
}

// suited says whether the strategy may be built.
func (r *row) suited() bool {
	v := r.of(verdict)
	return v == screen.Suited.String() || v == screen.SuitedAfterRepairs.String()
}

// saves is what the strategy saves, kWh/a: 0 where it is not suited, NaN where it is
// not known.
func (r *row) saves() float64 {
	if !r.suited() {
		return 0
	}
	if kWh, err := strconv.ParseFloat(r.of(saved), 64); err == nil {
		return kWh
	}
	return math.NaN()
}

// judged is a building in one run; one without rows is not in it.
type judged struct {
	inputs, zone word
	facts        []word
	rows         []row
}

// factColumns lists the columns that both rankings have and that hold a fact by
// which buildings can be judged. What is only carried to the tables (group, fuel,
// date of survey, own columns) can move nothing. hidden lists the facts that are
// not in both.
func factColumns(a, b *results.Folder) (names, hidden []string) {
	for _, c := range ingest.Columns() {
		switch c.Kind {
		case ingest.KindID, ingest.KindHome, ingest.KindText, ingest.KindDate:
			continue
		}
		all := append(c.Headers(), c.Name)
		if i := slices.IndexFunc(all, func(h string) bool { return a.Has(h) && b.Has(h) }); i >= 0 {
			names = append(names, all[i])
		} else {
			hidden = append(hidden, c.Name)
		}
	}
	if a.Has(wallsColumn) && b.Has(wallsColumn) { // a wall more or less is a fact too
		names = append(names, wallsColumn)
	}
	return names, hidden
}

// read gathers the rows of a ranking by building.
func (j *join) read(ctx context.Context, side int) error {
	wanted := slices.Concat([]string{buildingColumn, inputsColumn, zoneColumn}, j.facts)
	for _, c := range compared {
		wanted = append(wanted, c.name)
	}
	return j.folders[side].Ranking(ctx, wanted, func(r results.Row) {
		cell := func(column string, kind int) word { return unique.Make(printed(r, column, kind)) }
		id := cell(buildingColumn, words)
		if j.buildings[id] == nil {
			j.buildings[id] = &[2]judged{}
		}
		of := &j.buildings[id][side]
		if len(of.rows) == 0 {
			of.inputs, of.zone = cell(inputsColumn, words), cell(zoneColumn, words)
			for _, name := range j.facts {
				of.facts = append(of.facts, cell(name, words))
			}
		}
		var one row
		for k, c := range compared {
			one[k] = cell(c.name, c.kind)
		}
		of.rows = append(of.rows, one)
	})
}

// printed is a cell as text, empty where there is none. Reals have the decimals of
// a kind; those of facts up to six, so that a change of units is no change.
func printed(r results.Row, column string, kind int) string {
	x := r.Number(column)
	if math.IsNaN(x) {
		return r.Text(column)
	}
	if kind < 0 {
		kind, x = -1, math.Round(x*1e6)/1e6
	}
	return strconv.FormatFloat(x, 'f', kind, 64)
}
