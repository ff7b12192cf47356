package compare

import (
	"context"
	"math"
	"slices"
	"strconv"
	"strings"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/results"
)

// The columns that are read, beside facts. Where a ranking names one otherwise,
// this is the place to say so: of several names the first that is there is read.
// Without building, strategy and verdict a file is no ranking; any other column
// may be missing.
const (
	buildingColumn = "building_id"
	homeColumn     = "home_id"
	wallsColumn    = "walls"         // buildings are counted by it where it is given
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
}{
	strategy:    {[]string{"strategy"}, words},
	verdict:     {[]string{"verdict"}, words},
	governing:   {[]string{"governing"}, words},
	readiness:   {[]string{"readiness"}, words},
	gates:       {[]string{"gates"}, ids},
	fixFirst:    {[]string{"fix_first"}, ids},
	checkOnSite: {[]string{"check_on_site"}, ids},
	rank:        {[]string{"rank_in_building"}, 0},
	utilisation: {[]string{"utilisation"}, 3},
	chanceLow:   {[]string{"chance_low", "chance_exceeded"}, 3},
	chanceHigh:  {[]string{"chance_high", "chance_exceeded"}, 3},
	insulation:  {[]string{"insulation_mm"}, 0},
	saved:       {[]string{"saved_kwh_a"}, 0},
}

// word is the number of a text in a list that both runs share. Texts repeat, and
// numbers are light to hold.
type word uint32

type wordList struct {
	texts []string
	at    map[string]word
}

func (l *wordList) number(text string) word {
	w, ok := l.at[text]
	if !ok {
		text = strings.Clone(text) // it lies in a batch that is given back
		w = word(len(l.texts))
		l.texts, l.at[text] = append(l.texts, text), w
	}
	return w
}

// row is a building under a strategy in one run.
type row [numCompared]word

// cells are a row as text, empty where it says nothing.
type cells [numCompared]string

// cells are those of a row, nil of none.
func (l *wordList) cells(r *row) *cells {
	if r == nil {
		return nil
	}
	var out cells
	for k, w := range r {
		out[k] = l.texts[w]
	}
	return &out
}

// of is the cell of a column, empty where a run has no such row.
func (c *cells) of(column int) string {
	if c == nil {
		return ""
	}
	return c[column]
}

// suited says whether the strategy may be built.
func (c *cells) suited() bool {
	v := c.of(verdict)
	return v == screen.Suited.String() || v == screen.SuitedAfterRepairs.String()
}

// saves is what the strategy saves, kWh/a: 0 where it is not suited, NaN where it is
// not known.
func (c *cells) saves() float64 {
	if !c.suited() {
		return 0
	}
	if kWh, err := strconv.ParseFloat(c.of(saved), 64); err == nil {
		return kWh
	}
	return math.NaN()
}

// judged is a building in one run; one without rows is not in it.
type judged struct {
	home, inputs, zone word
	facts              []word
	rows               []row
}

// name is under which of some names a ranking has a column, "" where it has none.
func name(f *results.Folder, names ...string) string {
	if i := slices.IndexFunc(names, f.Has); i >= 0 {
		return names[i]
	}
	return ""
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

// read gathers the rows of the ranking by building, which it asks for by id.
func read(ctx context.Context, f *results.Folder, list *wordList, facts []string, building func(id word) *judged) error {
	home := name(f, homeColumn, buildingColumn)
	wanted := slices.Concat([]string{buildingColumn, home, inputsColumn, zoneColumn}, facts)
	var columns [numCompared]string
	for k, c := range compared {
		columns[k] = name(f, c.names...)
	}
	return f.Ranking(ctx, append(wanted, columns[:]...), func(b results.Batch) {
		for i := range b.Rows {
			cell := func(column string, kind int) word { return list.number(printed(b, column, i, kind)) }
			id := cell(buildingColumn, words)
			of := building(id)
			if len(of.rows) == 0 {
				of.home, of.inputs, of.zone = cell(home, words), cell(inputsColumn, words), cell(zoneColumn, words)
				if list.texts[of.home] == "" {
					of.home = id
				}
				for _, name := range facts {
					of.facts = append(of.facts, cell(name, words))
				}
			}
			var one row
			for k, name := range columns {
				one[k] = cell(name, compared[k].kind)
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
