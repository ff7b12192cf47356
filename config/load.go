package config

import (
	"fmt"
	"maps"
	"reflect"
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
	Notes   Problems          // values that are possible, yet so unusual that a slip is likely

	values   map[string]any      // effective values, dropped rows taken out
	defaults map[string][]string // rows the defaults have, by table
}

// Load layers and checks the configuration. When something is wrong the error
// is of type Problems: everything that is unknown, of the wrong type, out of bounds or
// missing, and where all can be read also what is at odds with the rest.
func Load(in Inputs) (*Loaded, error) {
	l := &Loaded{Origins: map[string]string{}, defaults: map[string][]string{}}
	c := &checker{l: l, merged: viper.New()}
	c.defaults()
	for _, table := range TableNames() {
		l.defaults[table] = sortedKeys(c.merged.GetStringMap(table))
	}
	for _, path := range in.Files {
		c.file(path)
	}
	leaves := map[string]*schema{} // that one value can be given for
	rootSchema().leaves("", c.merged.AllSettings(), func(key string, s *schema, _ any) { leaves[key] = s })
	c.environment(leaves, in.Env)
	c.flags(leaves, in.Flags, in.FlagNames)
	c.settleRows()
	l.values = c.section(rootSchema(), "", "", l.values)
	if c.unreadable {
		return nil, c.problems.sorted()
	}
	if err := mapstructure.Decode(l.values, &l.Config); err != nil {
		return nil, fmt.Errorf("config: decoding checked values: %w", err) // a defect of this package
	}
	setIDs(reflect.ValueOf(&l.Config).Elem())
	c.relations()
	if len(c.problems) > 0 {
		return nil, c.problems.sorted()
	}
	l.Notes = c.notes.sorted()
	return l, nil
}

// CheckFields holds conditions, facts, findings and aliases against the fields an
// inventory can have, which this package does not know: a condition on a field
// that does not exist would never be true and never be missed. fields maps the
// name of a field to the values it may take, nil for numbers and free text. It
// returns Problems.
func (l *Loaded) CheckFields(fields map[string][]string) error {
	c := &checker{l: l, inventory: fields}
	c.section(rootSchema(), "", "", l.values)
	c.relations()
	if len(c.problems) == 0 {
		return nil
	}
	return c.problems.sorted()
}

// table returns the rows of a table, as they were given until they are checked.
func (l *Loaded) table(name string) map[string]any {
	rows, _ := l.values[name].(map[string]any)
	return rows
}

func (l *Loaded) isDefaultRow(table, id string) bool {
	return slices.Contains(l.defaults[table], id)
}

// settleRows completes the rows that are like another one, and then removes the
// rows marked with drop.
func (c *checker) settleRows() {
	l, wrong := c.l, map[string]string{}
	for _, table := range TableNames() {
		for id := range c.merged.GetStringMap(table) {
			wrong[table+"."+id] = c.complete(table, id)
		}
	}
	l.values = c.merged.AllSettings()
	for _, table := range TableNames() {
		rows := l.table(table)
		for id, row := range inOrder(rows) {
			row, _ := row.(map[string]any)
			key := table + "." + id
			if wrong[key] != "" {
				c.unread(l.origin(key+".like"), key+".like", show(row["like"]), wrong[key])
				delete(rows, id)
			}
			if row["drop"] != true {
				continue
			}
			if len(row) == 1 && !l.isDefaultRow(table, id) {
				c.unread(l.origin(key), key, "", "there is no such row to drop"+didYouMean(id, l.defaults[table]))
			}
			delete(rows, id)
			l.Dropped = append(l.Dropped, key)
			maps.DeleteFunc(l.Origins, func(k, _ string) bool { return strings.HasPrefix(k, key+".") })
		}
	}
	slices.Sort(l.Dropped)
}

// complete gives a row that is like another one every field it lacks, as a default
// of that field, and goes on with the row that the other is like. It returns what
// is wrong with the mark, or nothing.
func (c *checker) complete(table, id string) string {
	for row, met := id, []string{id}; ; met = append(met, row) {
		like, ok := c.merged.Get(table + "." + row + ".like").(string)
		switch {
		case !ok:
			return ""
		case c.l.isDefaultRow(table, row):
			return "a row of the defaults has every field already; give the new row an id of its own"
		case slices.Contains(met, like):
			return "goes in a circle"
		case !c.merged.IsSet(table + "." + like):
			return "no such row in " + table + didYouMean(like, sortedKeys(c.merged.GetStringMap(table)))
		}
		row = like
		for key, origin := range maps.Clone(c.l.Origins) {
			field, of := strings.CutPrefix(key, table+"."+row+".")
			if own := table + "." + id + "." + field; of && field != "drop" && !c.merged.IsSet(own) {
				c.merged.SetDefault(own, c.merged.Get(key))
				c.l.Origins[own] = origin
			}
		}
	}
}

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
