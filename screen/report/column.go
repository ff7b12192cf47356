package report

import (
	"cmp"
	"math"
	"strings"

	"github.com/apache/arrow/go/v17/arrow"

	"wallsift/ingest"
	"wallsift/screen"
)

// Kind is the type of an output column.
type Kind uint8

// Kinds. Values of a Text column are strings, of a Whole one int64, of a Real
// one float64.
const (
	Text Kind = iota
	Whole
	Real
)

// arrow is the type of a column in Parquet, which has lists and dates where text
// for people and CSV has words.
func (c *Column) arrow() arrow.DataType {
	switch {
	case c.list != "":
		return arrow.ListOf(arrow.BinaryTypes.String)
	case c.day:
		return arrow.FixedWidthTypes.Date32
	}
	return [...]arrow.DataType{arrow.BinaryTypes.String, arrow.PrimitiveTypes.Int64, arrow.PrimitiveTypes.Float64}[c.Kind]
}

// Look says how a column may be drawn where a format can draw.
type Look uint8

// Looks.
const (
	PlainLook   Look = iota // the value and nothing else
	VerdictLook             // the words of verdicts
	ShareLook               // shares of a limit: above 1 is beyond it
	ChanceLook              // chances and other shares from 0 to 1
	BarLook                 // amounts that a bar from zero shows well
)

// Column is one column of a file or a table: what writers of any format need to
// know of it, and how its value is made.
type Column struct {
	Name      string // in files for programs
	Label     string // for people, without the unit; made from the name where empty
	Unit      string // for people, empty for words, counts and ratios
	Help      string // what it means; may be empty
	Kind      Kind
	Decimals  int  // of a Real column, in CSV, at most 6
	Inventory bool // holds text from the inventory, which is to be trusted with nothing
	Extra     bool // rides through; its Label is the name the inventory gives
	Brief     bool // stands in short lists too
	Look      Look

	ofLimits bool // a figure of the limits, which people see only where the strategy was judged by them

	list string // stands between the items of a text that is a list
	day  bool   // a text that is a date, year first
	get  func(*line) cell
	say  func(*line) cell // the same in words for people, where they differ from ids

	scale Quantity // of an amount for people; get is in the unit that SI has
}

// Heading is the label with its unit behind it.
func (c *Column) Heading() string { return strings.TrimSuffix(c.Label+", "+c.Unit, ", ") }

// cell is one value of any kind; null leaves the cell empty.
type cell struct {
	s    string
	f    float64
	i    int64
	null bool
}

func str(s string) cell  { return cell{s: s, null: s == ""} }
func num(f float64) cell { return cell{f: f, null: math.IsNaN(f) || math.IsInf(f, 0)} }
func count(i int) cell   { return cell{i: int64(i)} }

func yes(b bool) cell { return cell{s: "yes", null: !b} }

// only leaves a cell empty where a line has no such thing.
func only(has func(*line) bool, get func(*line) cell) func(*line) cell {
	return func(l *line) cell {
		if !has(l) {
			return cell{null: true}
		}
		return get(l)
	}
}

// govern leaves a cell empty where no measure governs.
func govern(get func(*line) cell) func(*line) cell {
	return only(func(l *line) bool { return l.j.HasGovern }, get)
}

// labelled gives the columns their labels and the units of their scales. Names stay:
// they are those of files for programs, which are SI.
func labelled(cols []Column, u Units) []Column {
	for i := range cols {
		c := &cols[i]
		c.Label, c.Unit = cmp.Or(c.Label, Named(c.Name)), cmp.Or(c.Unit, c.scale[u].Unit)
		if get, from, to := c.get, c.scale[SI], c.scale[u]; u != SI && to.size != 0 {
			c.Decimals = to.Decimals
			c.get = func(l *line) cell {
				v := get(l)
				v.f = to.Of(v.f * from.size)
				return v
			}
		}
	}
	return cols
}

func (c *Column) value(l *line, people bool) any {
	if people && c.ofLimits && l.j.Excluded {
		return nil
	}
	get := c.get
	if people && c.say != nil {
		get = c.say
	}
	v := get(l)
	switch {
	case v.null:
		return nil
	case c.Kind == Whole:
		return v.i
	case c.Kind == Real:
		return Rounded(v.f, c.Decimals)
	}
	return v.s
}

// Rounded is a number with some decimals, and no negative zero.
func Rounded(x float64, decimals int) float64 {
	unit := math.Pow10(decimals)
	return math.Round(x*unit)/unit + 0
}

// line is one row of a file: a building under one strategy, or one of its jobs.
type line struct {
	row    *screen.Row
	b      *ingest.Building
	j      *screen.Judgement
	s      *screen.Survey
	ready  screen.Readiness // for the strategy; NumReadiness where it is not to be built and another one is
	place  int              // of the building, or of the visit
	inside int              // rank of the strategy within the building
	within int              // rank of the building within the strategy
	job    *job             // of work lists, else nil
	order  int              // of the job in its list, from 1
	round  int              // of visits
}

// View says which rows Rows.Each is to give.
type View struct {
	Best bool // only the best strategy of each building
	// Places are those of the buildings in the overall order, from 0; nil means all.
	Places []int
	// Brief leaves the cells of columns empty that are not brief.
	Brief bool
}

// Rows gives the rows of one of the files to writers of other formats. It is for
// one goroutine.
type Rows struct {
	Columns []Column
	Note    string // on how to read them; may be empty
	people  bool   // words in place of ids
	lines   func(View, func(*line) error) error
}

// Ranking gives the rows of ranking.csv of a finished run, which must stay open;
// for people in words and the units the run was asked for, else by ids and in SI.
func Ranking(e *screen.Engine, run *screen.Run, people bool) *Rows {
	u := SI
	if people {
		u = UnitsOf(e)
	}
	return &Rows{Columns: labelled(columns(e, u, run.Source.Names(), run.Cases > 0), u), people: people, lines: func(view View, f func(*line) error) error {
		return eachBuilding(run, view, func(place int, building uint32, row *screen.Row) error {
			return linesOf(e, row, place, func(strategy uint8) int { return run.Ranks.In(strategy, building) }, view.Best, f)
		})
	}}
}

// Each calls f with every row of the view; works heed all but Best, visits Brief
// only. A value is nil, a string, an int64 or a float64 rounded to the column's decimals.
// Both arguments are reused.
func (r *Rows) Each(view View, f func(b *ingest.Building, values []any) error) error {
	values := make([]any, len(r.Columns))
	return r.lines(view, func(l *line) error {
		for i := range r.Columns {
			if c := &r.Columns[i]; c.Brief || !view.Brief {
				values[i] = c.value(l, r.people)
			}
		}
		return f(l.b, values)
	})
}

// eachBuilding goes through the buildings of a view in order of place, from 1.
func eachBuilding(run *screen.Run, view View, f func(place int, building uint32, row *screen.Row) error) error {
	order := run.Ranks.Overall
	if view.Places != nil {
		order = mapped(view.Places, func(place int) uint32 { return run.Ranks.Overall[place] })
	}
	at := -1
	return run.Each(order, func(building uint32, row *screen.Row) error {
		if at++; view.Places != nil {
			return f(view.Places[at]+1, building, row)
		}
		return f(at+1, building, row)
	})
}

// linesOf goes through the rows of one building in order of rank, or through that of
// its best strategy.
func linesOf(e *screen.Engine, row *screen.Row, place int, within func(strategy uint8) int, best bool, f func(*line) error) error {
	list, work := row.Judgements, screen.ForWork(row.Judgements)
	if best {
		list = list[:1]
	}
	for i := range list {
		j := &list[i]
		var survey *screen.Survey
		if j == work {
			survey = &row.Survey
		}
		ready := readiness(e, row, j, survey)
		if j != work && ready == screen.NoMeasurePasses {
			ready = screen.NumReadiness
		}
		l := &line{row: row, b: &row.Building, j: j, s: &row.Survey, ready: ready, place: place, inside: i + 1, within: within(j.Strategy)}
		if err := f(l); err != nil {
			return err
		}
	}
	return nil
}

// readiness is that of jobs.
func readiness(e *screen.Engine, row *screen.Row, j *screen.Judgement, s *screen.Survey) (ready screen.Readiness) {
	eachWall(row, j, s, func(_ *screen.Row, j *screen.Judgement, s *screen.Survey) {
		ready = max(ready, e.Readiness(j, s))
	})
	return ready
}

// Ready is the readiness of a building.
func Ready(e *screen.Engine, row *screen.Row) screen.Readiness {
	return readiness(e, row, screen.ForWork(row.Judgements), &row.Survey)
}

func first(order []uint32, top int) []uint32 {
	if top > 0 && len(order) > top {
		return order[:top]
	}
	return order
}
