package compare

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"wallsift/screen/report"
	"wallsift/screen/results"
)

// ErrFolder marks a folder that is not the output of a run.
var ErrFolder = results.ErrFolder

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
