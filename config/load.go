package config

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/go-viper/mapstructure/v2"
	"github.com/spf13/viper"
)

// Inputs is everything that may change the defaults.
type Inputs struct {
	Files []string       // YAML, TOML or JSON by suffix; a later file wins
	Env   []string       // as os.Environ; only WALLSIFT_ variables are read
	Flags map[string]any // key path → value given on the command line; a string is parsed
	// FlagNames says which flag a key path came from, for messages; a path
	// without an entry came from --set.
	FlagNames map[string]string
}

// Loaded is the effective configuration and where it came from. It is not
// changed after Load; any number of goroutines may read it.
type Loaded struct {
	Config  Config
	Origins map[string]string // leaf key → Source.String()
	Dropped []string          // rows removed with drop, as "table.id", sorted
	Sources []Source          // what was read, weakest first

	values   map[string]any  // effective values, dropped rows taken out
	defaults map[string]bool // leaf keys the defaults set
}

// Load layers and checks the configuration. When something is wrong the error
// is of type Problems: first everything that cannot be read as a known key of
// the right type, then, when there is nothing of that kind, everything
// Validate finds.
func Load(in Inputs) (*Loaded, error) {
	l := &loader{v: viper.New(), origins: map[string]string{}}
	if err := l.defaults(); err != nil {
		return nil, err
	}
	known := maps.Clone(l.origins)
	for _, path := range in.Files {
		l.file(path)
	}
	l.environment(in.Env)
	l.flags(in.Flags, in.FlagNames)
	if len(l.problems) > 0 {
		return nil, l.problems
	}
	out := &Loaded{Origins: l.origins, Sources: l.sources, values: l.v.AllSettings(), defaults: map[string]bool{}}
	for key := range known {
		out.defaults[key] = true
	}
	out.takeOutDropped()
	if err := out.decode(); err != nil {
		return nil, err
	}
	if err := out.Validate(); err != nil {
		return nil, err
	}
	return out, nil
}

// takeOutDropped removes the rows marked with drop and the marks themselves.
func (l *Loaded) takeOutDropped() {
	for _, table := range TableNames() {
		rows, _ := l.values[table].(map[string]any)
		for _, id := range slices.Sorted(maps.Keys(rows)) {
			row, _ := rows[id].(map[string]any)
			key := table + "." + id
			if row["drop"] != true {
				delete(row, "drop")
				delete(l.Origins, key+".drop")
				continue
			}
			delete(rows, id)
			l.Dropped = append(l.Dropped, key)
			maps.DeleteFunc(l.Origins, func(k, _ string) bool { return strings.HasPrefix(k, key+".") })
		}
	}
	slices.Sort(l.Dropped)
}

// decode fills Config. The layers were checked one by one, so an error here is
// a defect of this package, not of the user's file.
func (l *Loaded) decode() error {
	d, err := mapstructure.NewDecoder(&mapstructure.DecoderConfig{Result: &l.Config, ErrorUnused: true})
	if err != nil {
		return fmt.Errorf("config: building the decoder: %w", err)
	}
	if err := d.Decode(l.values); err != nil {
		return fmt.Errorf("config: decoding checked values: %w", err)
	}
	setIDs(l.Config.Materials, func(r *materialRow, id string) { r.ID = id })
	setIDs(l.Config.Stations, func(r *stationRow, id string) { r.ID = id })
	setIDs(l.Config.Zones, func(r *Zone, id string) { r.ID = id })
	setIDs(l.Config.Strategies, func(r *Strategy, id string) { r.ID = id })
	setIDs(l.Config.Finishes, func(r *Finish, id string) { r.ID = id })
	setIDs(l.Config.Priors, func(r *Prior, id string) { r.ID = id })
	setIDs(l.Config.Gates, func(r *Gate, id string) { r.ID = id })
	setIDs(l.Config.Steps, func(r *Step, id string) { r.ID = id })
	setIDs(l.Config.Findings, func(r *Finding, id string) { r.ID = id })
	setIDs(l.Config.Stages, func(r *Stage, id string) { r.ID = id })
	setIDs(l.Config.Limits, func(r *Limit, id string) { r.ID = id })
	setIDs(l.Config.Evidence, func(r *Limit, id string) { r.ID = id })
	setIDs(l.Config.Exposures, func(r *Exposure, id string) { r.ID = id })
	setIDs(l.Config.Glossary, func(r *Term, id string) { r.ID = id })
	return nil
}

func setIDs[R any](rows map[string]R, set func(*R, string)) {
	for id, row := range rows {
		set(&row, id)
		rows[id] = row
	}
}

// origin returns the source of a key, or of the strongest value below it or in
// the row around it when the key itself is not set.
func (l *Loaded) origin(key string) string {
	key, _, _ = strings.Cut(key, "[")
	if o, ok := l.Origins[key]; ok {
		return o
	}
	for ; key != ""; key = parentKey(key) {
		if o, ok := l.strongestBelow(key); ok {
			return o
		}
	}
	return ""
}

func (l *Loaded) strongestBelow(prefix string) (best string, found bool) {
	rank := func(o string) int {
		kind, _, _ := strings.Cut(o, " ")
		return slices.Index([]string{KindDefault, KindFile, KindEnvironment, KindFlag}, kind)
	}
	for k, o := range l.Origins {
		if strings.HasPrefix(k, prefix+".") && (!found || rank(o) > rank(best) || rank(o) == rank(best) && o < best) {
			best, found = o, true
		}
	}
	return best, found
}

func parentKey(key string) string {
	i := strings.LastIndexByte(key, '.')
	return key[:max(i, 0)]
}
