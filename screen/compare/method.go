package compare

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"wallsift/screen"
)

// methodKeys are the keys of run.json that make the method, beside settings and
// weather files: whatever moves figures and is no fact of a building. Keys that
// a run lacks are not compared.
var methodKeys = []struct {
	key, label string
	moves      bool // figures; the others are only shown
	hourly     bool // those of the transient tier alone
}{
	{"version", "version", true, false}, {"revision", "revision of the source", true, false}, {"go", "compiler", false, false},
	{"tier", "tier", true, false}, {"method", "hourly engine", true, true}, {"seed", "seed", true, true}, {"weather", "weather year", true, true},
	{configurationKey, "configuration", true, false},
}

const configurationKey = "configuration_sha256"

// part is one thing of the method that differs between the runs, and the rows it
// can move.
type part struct {
	key      string
	what     string // with both values where they are short
	old, new string
	moves    bool     // false: it moves no row that both runs have
	hourly   bool     // rows that the transient tier judged alone
	strategy string   // rows of this one alone, "" = of all
	zones    []string // rows of buildings in these climates alone, nil = all
}

// reaches says whether a part can move a row by itself, not by what the response
// surfaces learnt elsewhere.
func (p *part) reaches(hourly bool, strategy string, zones ...string) bool {
	if !p.moves || p.hourly && !hourly || p.strategy != "" && p.strategy != strategy {
		return false
	}
	return p.zones == nil || slices.ContainsFunc(zones, func(z string) bool { return z == "" || slices.Contains(p.zones, z) })
}

// parts lists what of the method differs.
func parts(a, b *folder) []part {
	var out []part
	settings, known := changedSettings(a, b)
	for _, k := range methodKeys {
		if k.key == configurationKey && known {
			continue // the settings say it better
		}
		x, y := a.manifest[k.key], b.manifest[k.key]
		var p, q bytes.Buffer
		if k.moves && x != nil && y != nil && json.Compact(&p, x) == nil && json.Compact(&q, y) == nil && !bytes.Equal(p.Bytes(), q.Bytes()) {
			one := part{what: k.label, old: a.said(k.key), new: b.said(k.key), moves: true, hourly: k.hourly, key: k.key}
			if k.key != configurationKey {
				one.what = fmt.Sprintf("%s %s → %s", k.label, one.old, one.new)
			}
			out = append(out, one)
		}
	}
	return append(append(out, changedWeather(a, b)...), settings...)
}

// changedWeather lists the stations whose weather file holds something else.
func changedWeather(a, b *folder) []part {
	old, okOld := a.weather()
	new, okNew := b.weather()
	if !okOld || !okNew {
		return nil
	}
	var out []part
	for _, id := range slices.Sorted(maps.Keys(join(old, new))) {
		x, inOld := old[id]
		y, inNew := new[id]
		verb := "changed"
		switch {
		case x.SHA256 == y.SHA256:
			continue
		case !inOld:
			verb = "was added"
		case !inNew:
			verb = "was taken away"
		}
		out = append(out, part{what: fmt.Sprintf("the weather file of station %s %s", id, verb), old: short(x.SHA256), new: short(y.SHA256), moves: true, hourly: true, zones: append(x.Zones, y.Zones...)})
	}
	return out
}

// weather lists the weather files of a run by station; ok is false when the run
// does not say.
func (f *folder) weather() (files map[string]screen.WeatherFile, ok bool) {
	var list []screen.WeatherFile
	if f.manifest["weather_files"] == nil || json.Unmarshal(f.manifest["weather_files"], &list) != nil {
		return nil, false
	}
	files = map[string]screen.WeatherFile{}
	for _, w := range list {
		files[w.Station] = w
	}
	return files, true
}

// changedSettings lists the settings and rows of tables that differ; known is
// false when one of the runs does not say them.
func changedSettings(a, b *folder) (out []part, known bool) {
	var old, new map[string]string
	if json.Unmarshal(a.manifest["settings"], &old) != nil || json.Unmarshal(b.manifest["settings"], &new) != nil {
		return nil, false
	}
	said := map[string]bool{} // rows that are in one run only
	for _, key := range slices.Sorted(maps.Keys(join(old, new))) {
		x, inOld := old[key]
		y, inNew := new[key]
		if inOld && inNew && x == y {
			continue
		}
		p := reach(key, old, new)
		p.key, p.old, p.new = key, orNone(x, inOld), orNone(y, inNew)
		row, ok := rowOf(key)
		switch {
		case ok && !(has(old, row) && has(new, row)):
			if said[row] {
				continue
			}
			said[row] = true
			verb := "was added"
			if !has(new, row) {
				verb = "was taken away"
			}
			p.key, p.what, p.old, p.new = row, row+" "+verb, hasOr(old, row), hasOr(new, row)
			// Rows of other tables are named by a row or a fact that then differs
			// as well.
			p.moves = strings.HasPrefix(row, "limits.") || strings.HasPrefix(row, "priors.")
		case len(x)+len(y) <= 60:
			p.what = fmt.Sprintf("%s %s → %s", key, orNone(x, inOld), orNone(y, inNew))
		default:
			p.what = key + " changed"
		}
		out = append(out, p)
	}
	return out, true
}

func orNone(s string, there bool) string {
	if !there {
		return "(none)"
	}
	return s
}

// rowOf returns the row of a table that a key belongs to.
func rowOf(key string) (row string, ok bool) {
	list := strings.SplitN(key, ".", 3)
	if len(list) < 3 {
		return "", false
	}
	return list[0] + "." + list[1], true
}

func hasOr(settings map[string]string, row string) string {
	if has(settings, row) {
		return "a row"
	}
	return "(none)"
}

func has(settings map[string]string, row string) bool {
	for k := range settings {
		if strings.HasPrefix(k, row+".") {
			return true
		}
	}
	return false
}

// reach says which rows a setting can move.
func reach(key string, old, new map[string]string) part {
	list := strings.SplitN(key, ".", 3)
	p := part{moves: true, hourly: list[0] == "engine" || list[0] == "chance" || list[0] == "priors"}
	if len(list) < 3 {
		return p
	}
	switch id := list[1]; list[0] {
	case "strategies":
		p.strategy = id
	case "zones":
		p.zones = []string{id}
	case "stations":
		p.zones = []string{id}
		for _, settings := range []map[string]string{old, new} {
			for k, v := range settings {
				zone, ok := strings.CutPrefix(k, "zones.")
				if zone, isStation := strings.CutSuffix(zone, ".station"); ok && isStation && v == id {
					p.zones = append(p.zones, zone)
				}
			}
		}
	}
	return p
}

func join[V any](a, b map[string]V) map[string]V {
	out := map[string]V{}
	maps.Copy(out, a)
	maps.Copy(out, b)
	return out
}
