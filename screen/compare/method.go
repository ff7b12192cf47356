package compare

import (
	"maps"
	"slices"
	"strings"
)

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
func differences(a, b *folder) []difference {
	out := []difference{
		{kind: byMethod, name: "version", old: a.Version, new: b.Version},
		{kind: byMethod, name: "revision of the source", old: a.Revision, new: b.Revision},
		{kind: byMethod, name: "engine", old: a.Method, new: b.Method},
		{kind: byMethod, name: "compiler", old: a.Compiler, new: b.Compiler},
		{kind: bySettings, name: "tier", old: a.Tier, new: b.Tier},
		{kind: bySettings, name: "weather year", old: a.Weather, new: b.Weather},
		{kind: bySettings, name: "seed", old: a.Seed.String(), new: b.Seed.String()},
	}
	if a.Settings == nil || b.Settings == nil {
		out = append(out, difference{kind: bySettings, name: "configuration", old: short(a.Configuration), new: short(b.Configuration)})
	} else {
		all := maps.Clone(a.Settings)
		maps.Copy(all, b.Settings)
		for _, key := range slices.Sorted(maps.Keys(all)) {
			d := difference{kind: bySettings, name: key, old: string(a.Settings[key]), new: string(b.Settings[key])}
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
	for side, f := range []*folder{a, b} {
		for _, w := range f.WeatherFiles {
			d := files[w.Station]
			d.kind, d.name, d.zones = byWeather, w.Station, append(d.zones, w.Zones...)
			if side == 0 {
				d.old = short(w.SHA256)
			} else {
				d.new = short(w.SHA256)
			}
			files[w.Station] = d
		}
	}
	for _, station := range slices.Sorted(maps.Keys(files)) {
		out = append(out, files[station])
	}
	return slices.DeleteFunc(out, func(d difference) bool { return d.old == d.new })
}

// short cuts hashes to what tells them apart.
func short(s string) string { return s[:min(len(s), 12)] }
