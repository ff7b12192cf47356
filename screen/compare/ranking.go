package compare

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strconv"
	"strings"

	"wallsift/ingest"
	"wallsift/screen/results"
)

// The columns that are read, beside facts. Where a ranking names one otherwise,
// this is the place to say so: of several names the first that is there is read.
// Without building, strategy and verdict a file is no ranking; any other column
// may be missing.
const (
	buildingColumn = "building_id"
	homeColumn     = "home_id"
	wallsColumn    = "walls" // buildings are counted by it where it is given
	strategyColumn = "strategy"
	inputsColumn   = "inputs_sha256" // of all facts, also those without a column
	zoneColumn     = "climate_zone"
)

// Columns of a row that are compared.
const (
	verdict = iota
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
	names []string
	kind  int
	label string // as the tables of a run are headed
}{
	verdict:     {[]string{"verdict"}, words, "verdict"},
	governing:   {[]string{"governing"}, words, "governed by"},
	readiness:   {[]string{"readiness"}, words, "readiness"},
	gates:       {[]string{"gates"}, ids, "rules that act"},
	fixFirst:    {[]string{"fix_first"}, ids, "before or with the measure"},
	checkOnSite: {[]string{"check_on_site"}, ids, "investigate first"},
	rank:        {[]string{"rank_in_building"}, 0, "rank in building"},
	utilisation: {[]string{"utilisation"}, 3, "share of the limit"},
	chanceLow:   {[]string{"chance_low", "chance_exceeded"}, 3, "chance, low"},
	chanceHigh:  {[]string{"chance_high", "chance_exceeded"}, 3, "chance, high"},
	insulation:  {[]string{"insulation_mm"}, 0, "insulation judged, mm"},
	saved:       {[]string{"saved_kwh_a"}, 0, "saved, kWh/a"},
	tier:        {[]string{"tier"}, words, "judged by"},
}

// word is the number of a text in a list that both runs share; 0 is the empty
// one. Texts repeat, and numbers are light to hold.
type word uint32

type wordList struct {
	texts []string
	at    map[string]word
}

func newWordList() *wordList { return &wordList{[]string{""}, map[string]word{"": 0}} }

func (l *wordList) number(text string) word {
	w, ok := l.at[text]
	if !ok {
		text = strings.Clone(text) // it lies in a batch that is given back
		w = word(len(l.texts))
		l.texts, l.at[text] = append(l.texts, text), w
	}
	return w
}

// row is a building under a strategy in one run; empty cells say nothing.
type row struct {
	strategy word
	cells    [numCompared]word
}

// judged is a building in one run; one without rows is not in it.
type judged struct {
	home, inputs, zone word
	facts              []word
	rows               []row
}

// name is under which of some names the ranking has a column, "" where it has
// none.
func (f folder) name(names ...string) string {
	if i := slices.IndexFunc(names, f.Has); i >= 0 {
		return names[i]
	}
	return ""
}

// factColumns lists the columns that both rankings have and that hold a fact by
// which buildings can be judged. What is only carried to the tables (group, fuel,
// date of survey, own columns) can move nothing. hidden lists the facts that are
// not in both.
func factColumns(a, b folder) (names, hidden []string) {
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

// read gathers the rows of the ranking by building, which it asks for by id.
func (f folder) read(ctx context.Context, list *wordList, facts []string, building func(id word) *judged) error {
	home := f.name(homeColumn, buildingColumn)
	wanted := slices.Concat([]string{buildingColumn, home, strategyColumn, inputsColumn, zoneColumn}, facts)
	var columns [numCompared]string
	for k, c := range compared {
		columns[k] = f.name(c.names...)
	}
	return f.Ranking(ctx, append(wanted, columns[:]...), func(b results.Batch) {
		for i := range b.Rows {
			cell := func(column string, kind int) word { return list.number(printed(b, column, i, kind)) }
			id := cell(buildingColumn, words)
			of := building(id)
			if len(of.rows) == 0 {
				of.home, of.inputs, of.zone = cmp.Or(cell(home, words), id), cell(inputsColumn, words), cell(zoneColumn, words)
				for _, name := range facts {
					of.facts = append(of.facts, cell(name, words))
				}
			}
			one := row{strategy: cell(strategyColumn, words)}
			for k, name := range columns {
				one.cells[k] = cell(name, compared[k].kind)
			}
			of.rows = append(of.rows, one)
		}
	})
}

// printed is a cell as text, empty where there is none. Reals have the decimals of
// a kind; those of facts up to six, so that a change of units is no change.
func printed(b results.Batch, column string, row, kind int) string {
	x := b.Number(column, row)
	if math.IsNaN(x) {
		return b.Text(column, row)
	}
	if kind < 0 {
		kind, x = -1, math.Round(x*1e6)/1e6
	}
	return strconv.FormatFloat(x, 'f', kind, 64)
}
