package config

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/go-viper/mapstructure/v2"
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
	Notes   Problems          // values that are possible, yet so unusual that a slip is likely

	values   map[string]any      // effective values, dropped rows taken out
	defaults map[string][]string // rows the defaults have, by table
}

// Load layers and checks the configuration. When something is wrong the error
// is of type Problems: first everything that cannot be read as a known key of
// the right type, then, when there is nothing of that kind, everything that is out
// of bounds, missing or at odds with the rest.
func Load(in Inputs) (*Loaded, error) {
	l := &loader{origins: map[string]string{}}
	if err := l.defaults(); err != nil {
		return nil, err
	}
	known := map[string][]string{}
	for _, table := range TableNames() {
		rows, _ := l.values[table].(map[string]any)
		known[table] = sortedKeys(rows)
	}
	for _, path := range in.Files {
		l.file(path)
	}
	l.environment(in.Env)
	l.flags(in.Flags, in.FlagNames)
	if len(l.problems) > 0 {
		return nil, l.problems
	}
	out := &Loaded{Origins: l.origins, Sources: l.sources, values: l.values, defaults: known}
	if err := out.settleRows().orNil(); err != nil {
		return nil, err
	}
	if err := out.decode(); err != nil {
		return nil, err
	}
	v := out.validate(nil)
	if len(v.problems) > 0 {
		return nil, v.problems.sorted()
	}
	out.Notes = v.notes.sorted()
	return out, nil
}

// settleRows completes the rows that are like another one, and then removes the
// rows marked with drop and the marks themselves.
func (l *Loaded) settleRows() (problems Problems) {
	for _, table := range TableNames() {
		rows, _ := l.values[table].(map[string]any)
		for id, row := range inOrder(rows) {
			if expected := l.complete(table, rows, id, nil); expected != "" {
				key := table + "." + id + ".like"
				problems = append(problems, Problem{Key: key, Value: show(row.(map[string]any)["like"]), Expected: expected, Source: l.origin(key)})
			}
		}
		for id, row := range inOrder(rows) {
			row, key := row.(map[string]any), table+"."+id
			if row["drop"] != true {
				delete(row, "drop")
				delete(l.Origins, key+".drop")
				continue
			}
			if len(row) == 1 && !l.isDefaultRow(table, id) {
				problems = append(problems, Problem{Key: key, Expected: "there is no such row to drop" + didYouMean(id, l.defaults[table]), Source: l.origin(key)})
			}
			delete(rows, id)
			l.Dropped = append(l.Dropped, key)
			maps.DeleteFunc(l.Origins, func(k, _ string) bool { return strings.HasPrefix(k, key+".") })
		}
	}
	slices.Sort(l.Dropped)
	return problems
}

// complete gives a row that is like another one every field it lacks, and takes
// the mark away. It returns what is wrong with the mark, or nothing. behind lists
// the rows that wait for this one.
func (l *Loaded) complete(table string, rows map[string]any, id string, behind []string) string {
	row := rows[id].(map[string]any)
	like, ok := row["like"].(string)
	if !ok {
		return ""
	}
	base, known := rows[like].(map[string]any)
	switch {
	case l.isDefaultRow(table, id):
		return "a row of the defaults has every field already; give the new row an id of its own"
	case slices.Contains(append(behind, id), like):
		return "goes in a circle"
	case !known:
		return "no such row in " + table + didYouMean(like, sortedKeys(rows))
	}
	if wrong := l.complete(table, rows, like, append(behind, id)); wrong != "" {
		return wrong
	}
	delete(row, "like")
	delete(l.Origins, table+"."+id+".like")
	drop, marked := row["drop"]
	fill(row, base)
	if delete(row, "drop"); marked { // the other row's mark is not this one's
		row["drop"] = drop
	}
	rootSchema().fields[table].elem.leaves("", base, func(field string, _ *schema, value any) {
		if key := table + "." + id + "." + field; value != nil && l.Origins[key] == "" {
			l.Origins[key] = l.Origins[table+"."+like+"."+field]
		}
	})
	return ""
}

// fill adds to a section what it lacks of another one.
func fill(to, from map[string]any) {
	for name, v := range from {
		below, isSection := v.(map[string]any)
		if !isSection {
			if _, there := to[name]; !there {
				to[name] = v
			}
			continue
		}
		own, _ := to[name].(map[string]any)
		if own == nil {
			own = map[string]any{}
			to[name] = own
		}
		fill(own, below)
	}
}

// decode fills Config. The layers were checked one by one, so an error here is
// a defect of this package, not of the user's file.
func (l *Loaded) decode() error {
	if err := mapstructure.Decode(l.values, &l.Config); err != nil {
		return fmt.Errorf("config: decoding checked values: %w", err)
	}
	setIDs(reflect.ValueOf(&l.Config).Elem())
	return nil
}

// setIDs writes the id of every row into the row.
func setIDs(config reflect.Value) {
	for _, table := range config.Fields() {
		if table.Kind() != reflect.Map {
			continue
		}
		for id, was := range table.Seq2() {
			row := reflect.New(was.Type()).Elem()
			row.Set(was)
			row.FieldByName("ID").SetString(id.String())
			table.SetMapIndex(id, row)
		}
	}
}

// origin returns the source of a key, or of the strongest value below it or in
// the row around it when the key itself is not set.
func (l *Loaded) origin(key string) string {
	key, _, _ = strings.Cut(key, "[")
	for ; key != ""; key = parentKey(key) {
		best := -1
		for k, o := range l.Origins {
			if k == key || strings.HasPrefix(k, key+".") {
				best = max(best, slices.IndexFunc(l.Sources, func(s Source) bool { return s.String() == o }))
			}
		}
		if best >= 0 {
			return l.Sources[best].String()
		}
	}
	return ""
}

func parentKey(key string) string {
	i := strings.LastIndexByte(key, '.')
	return key[:max(i, 0)]
}
