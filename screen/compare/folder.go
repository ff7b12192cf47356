package compare

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unique"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/results"
)

// rejected says why rows were left out, by building.
func rejected(f *results.Folder) (map[string]string, error) {
	out := map[string]string{}
	return out, f.Table(report.RejectsCSV, func(cells map[string]string) {
		why := cells["reason"]
		if column := cells["column"]; column != "" {
			why = fmt.Sprintf("%s %q: %s", column, cells["value"], why)
		}
		if id := cells[buildingColumn]; out[id] == "" {
			out[id] = why
		}
	})
}

// order lists the buildings of a file of the folder in its order: of the survey, or
// of the programme if one was made, which lies in a folder of its own.
func order(f *results.Folder, name string) (ids []string, err error) {
	err = f.Table(name, func(cells map[string]string) { ids = append(ids, cells[buildingColumn]) })
	return ids, err
}

// Causes of a verdict that moved. The last three are kinds of difference too.
const (
	byFacts    = "facts"
	bySettings = "settings"
	byWeather  = "weather"
	byMethod   = "method"
)

// difference is something other than facts in which two runs differ.
type difference struct {
	kind, name, old, new string

	strategy string   // it reaches rows of this one alone, "" = of all
	zones    []string // it reaches buildings in these climates alone, nil = all
}

// reaches says whether a difference can move a building's row of a strategy.
func (d *difference) reaches(strategy string, zones ...string) bool {
	return (d.strategy == "" || d.strategy == strategy) &&
		(d.zones == nil || slices.ContainsFunc(zones, func(z string) bool { return z == "" || slices.Contains(d.zones, z) }))
}

// differences lists in what but facts two runs differ.
func differences(a, b *report.Manifest) []difference {
	out := []difference{
		{kind: byMethod, name: "version", old: a.Version, new: b.Version},
		{kind: byMethod, name: "revision of the source", old: a.Revision, new: b.Revision},
		{kind: byMethod, name: "engine", old: a.Method, new: b.Method},
		{kind: byMethod, name: "compiler", old: a.Go, new: b.Go},
		{kind: bySettings, name: "tier", old: a.Tier, new: b.Tier},
		{kind: bySettings, name: "weather year", old: a.Weather, new: b.Weather},
		{kind: bySettings, name: "seed", old: fmt.Sprint(a.Seed), new: fmt.Sprint(b.Seed)},
	}
	if a.Settings == nil || b.Settings == nil {
		out = append(out, difference{kind: bySettings, name: "configuration", old: short(a.Configuration), new: short(b.Configuration)})
	} else {
		all := maps.Clone(a.Settings)
		maps.Copy(all, b.Settings)
		for _, key := range slices.Sorted(maps.Keys(all)) {
			d := difference{kind: bySettings, name: key, old: setting(a, key), new: setting(b, key)}
			switch path := strings.Split(key+".", "."); path[0] {
			case "strategies":
				d.strategy = path[1]
			case "zones":
				d.zones = path[1:2]
			}
			out = append(out, d)
		}
	}
	files := map[string]difference{}
	for side, m := range []*report.Manifest{a, b} {
		for _, w := range m.WeatherFiles {
			d := files[w.Station]
			d.kind, d.name, d.zones = byWeather, w.Station, append(d.zones, w.Zones...)
			*[]*string{&d.old, &d.new}[side] = short(w.SHA256)
			files[w.Station] = d
		}
	}
	for _, station := range slices.Sorted(maps.Keys(files)) {
		out = append(out, files[station])
	}
	return slices.DeleteFunc(out, func(d difference) bool { return d.old == d.new })
}

// setting is a value of a setting as text, which is all that older runs noted.
func setting(m *report.Manifest, key string) string {
	value, given := m.Settings[key]
	if text, ok := value.(string); ok || !given {
		return text
	}
	b, err := json.Marshal(value)
	if err != nil { // it was read as JSON
		panic(err)
	}
	return string(b)
}

// short cuts hashes to what tells them apart.
func short(s string) string { return s[:min(len(s), 12)] }

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
