package report

import (
	"math"
	"strings"

	"wallsift/ingest"
	"wallsift/screen"
)

// Field describes a column of the ranking to writers of other formats.
type Field struct {
	Name      string // as in ranking.csv
	Label     string // for people, without the unit
	Unit      string // for people, empty for words, counts and ratios
	Help      string // what it means; may be empty
	Kind      Kind
	Decimals  int  // of a Real column
	Inventory bool // holds text from the inventory, which is to be trusted with nothing
	Extra     bool // rides through; its Label is the name the inventory gives
	Reach     Reach
	Look      Look
}

// Heading is the label with its unit behind it.
func (f *Field) Heading() string {
	if f.Unit == "" {
		return f.Label
	}
	return f.Label + ", " + f.Unit
}

// Reader gives the rows of ranking.csv, in the same order, to writers of other
// formats. It is for one goroutine.
type Reader struct {
	run    *screen.Run
	cols   []column
	fields []Field
	extras int // ride-through columns, the last ones
}

// NewReader returns a Reader of a finished run, which must stay open. Values are
// in SI, whatever units the run was asked for.
func NewReader(e *screen.Engine, run *screen.Run) *Reader { return newReader(e, run, &siUnits) }

// NewReaderForPeople is NewReader in the units the run was asked for. Names of
// fields stay those of ranking.csv, which is SI: a Field's Unit says what its
// values are in.
func NewReaderForPeople(e *screen.Engine, run *screen.Run) *Reader {
	return newReader(e, run, unitsOf(e))
}

func newReader(e *screen.Engine, run *screen.Run, u *units) *Reader {
	r := &Reader{run: run, cols: columns(run, newVocabulary(e)), extras: len(run.ExtraColumns())}
	r.cols = shownIn(u, r.cols)
	r.fields = fieldsOf(r.cols, r.extras)
	return r
}

// shownIn turns the columns to a system of units.
func shownIn(u *units, cols []column) []column {
	if u.ip {
		for i, c := range cols {
			cols[i] = c.shownIn(u)
		}
	}
	return cols
}

// fieldsOf describes columns, of which the last few ride through.
func fieldsOf(cols []column, extras int) (fields []Field) {
	for i, c := range cols {
		f := Field{
			Name: c.name, Label: c.label, Unit: c.unit(), Help: c.help, Kind: c.kind, Decimals: c.decimals,
			Inventory: c.user, Extra: i >= len(cols)-extras, Reach: c.reach, Look: c.look,
		}
		if f.Label == "" {
			f.Label = c.name
			if !f.Extra {
				f.Label = strings.ReplaceAll(c.name, "_", " ")
			}
		}
		fields = append(fields, f)
	}
	return fields
}

// Fields lists the columns; the values that Each hands out are in this order.
func (r *Reader) Fields() []Field { return r.fields }

// View says which rows Each is to give.
type View struct {
	Best bool // only the best strategy of each building
	// Labels asks for words for people in place of ids.
	Labels bool
	// Buildings bounds the number of buildings; 0 means all.
	Buildings int
}

// Each calls f with every row of the view. A value is nil, a string, an int64 or
// a float64 rounded to the field's decimals. Both arguments are reused.
func (r *Reader) Each(view View, f func(b *ingest.Building, values []any) error) error {
	values := make([]any, len(r.cols))
	of := 0
	return eachLine(r.run, view, func(l *line) error {
		for i := range r.cols {
			if c := &r.cols[i]; !c.building || of != l.place {
				values[i] = c.value(l, view.Labels)
			}
		}
		of = l.place
		return f(l.b, values)
	})
}

func (c *column) value(l *line, labels bool) any {
	get := c.get
	if labels && c.say != nil {
		get = c.say
	}
	v := get(l)
	switch {
	case v.null:
		return nil
	case c.kind == Whole:
		return v.i
	case c.kind == Real:
		unit := float64(pow10[c.decimals])
		if x := math.Round(v.f*unit) / unit; x != 0 {
			return x
		}
		return 0.0 // no negative zero
	}
	return v.s
}

// eachLine goes through the rows of a view: buildings in order of place,
// strategies in order of rank within the building.
func eachLine(run *screen.Run, view View, f func(*line) error) error {
	place := 0
	return run.Each(first(run.Ranks.Overall, view.Buildings), func(building uint32, row *screen.Row) error {
		place++
		list := row.Judgements
		if view.Best {
			list = list[:1]
		}
		for i := range list {
			j := &list[i]
			if err := f(&line{b: &row.Building, j: j, s: &row.Survey, place: place, inside: i + 1, within: run.Ranks.In(j.Strategy, building)}); err != nil {
				return err
			}
		}
		return nil
	})
}

// Unguarded takes the apostrophe off text that was read back from a CSV file of
// this package, for formats that cannot mistake text for a formula. Text that
// began so itself, which is rare, loses it too.
func Unguarded(s string) string {
	if len(s) > 1 && s[0] == '\'' && formula(s[1:]) {
		return s[1:]
	}
	return s
}
