package report

import (
	"math"
	"strings"

	"github.com/apache/arrow/go/v17/arrow"

	"wallsift/config"
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

func (k Kind) arrow() arrow.DataType {
	return [...]arrow.DataType{arrow.BinaryTypes.String, arrow.PrimitiveTypes.Int64, arrow.PrimitiveTypes.Float64}[k]
}

// Reach says how far a column goes beside ranking.csv and ranking.parquet, which
// hold them all.
type Reach uint8

const (
	// Usual columns stand in tables that have room for many.
	Usual Reach = iota
	// Brief columns stand in short lists as well.
	Brief
	// Deep columns stand only where every column does.
	Deep
)

// Look says how a column may be drawn where a format can draw.
type Look uint8

const (
	// PlainLook is the value and nothing else.
	PlainLook Look = iota
	// VerdictLook is for the words of screen.Verdict.
	VerdictLook
	// ShareLook is for shares of a limit: above 1 is beyond it.
	ShareLook
	// ChanceLook is for chances and other shares from 0 to 1.
	ChanceLook
	// BarLook is for amounts that a bar from zero shows well.
	BarLook
)

// cell is one value of any kind; null leaves the cell empty.
type cell struct {
	s    string
	f    float64
	i    int64
	null bool
}

// unit is the unit of the column for people, in SI.
func (c *column) unit() string {
	if c.scale != nil {
		return c.scale(&siUnits).sign
	}
	return c.measure
}

// shownIn is the column for people in other units than SI; its name stays that
// of ranking.csv.
func (c column) shownIn(u *units) column {
	switch {
	case c.in != nil:
		c.get = func(l *line) cell { return c.in(u, l) }
	case c.scale != nil:
		get, from, to := c.get, c.scale(&siUnits), c.scale(u)
		c.decimals = to.decimals
		c.get = func(l *line) cell {
			v := get(l)
			v.f = to.Of(from.si(v.f))
			return v
		}
	}
	if c.scale != nil {
		c.measure, c.scale = c.scale(u).sign, nil
	}
	return c
}

// measured is the cell of a demand or limit of the governing measure.
func measured(of func(*line) float64) func(*units, *line) cell {
	return func(u *units, l *line) cell {
		if !l.j.HasGovern {
			return cell{null: true}
		}
		x, _ := u.measure(of(l), governingUnit(l))
		return num(x)
	}
}

func governingUnit(l *line) string { return l.j.Governing.In(l.j.Tier).Unit }

// Scales of columns.
func insulation(u *units) Scale    { return u.insulation }
func thickness(u *units) Scale     { return u.thickness }
func added(u *units) Scale         { return u.added }
func resistance(u *units) Scale    { return u.resistance }
func transmittance(u *units) Scale { return u.transmittance }
func heat(u *units) Scale          { return u.heat }
func energy(u *units) Scale        { return u.energy }
func mass(u *units) Scale          { return u.mass }

func str(s string) cell  { return cell{s: s, null: s == ""} }
func num(f float64) cell { return cell{f: f, null: math.IsNaN(f) || math.IsInf(f, 0)} }
func count(i int) cell   { return cell{i: int64(i)} }

// column is one column of the ranking files.
type column struct {
	name     string
	label    string // for people; made from the name where empty
	measure  string // unit for people
	help     string // what it means, for people
	kind     Kind
	decimals int  // of reals, in CSV, at most 6
	user     bool // holds text from the inventory
	building bool // is the same for every strategy of a building
	reach    Reach
	look     Look
	get      func(*line) cell
	say      func(*line) cell // the same in words for people, where they differ from ids
	// scale finds the unit of an amount in a system; the column itself is in that
	// of SI. in is the cell in another system where a scale alone does not give it.
	scale func(*units) Scale
	in    func(*units, *line) cell
}

// line is one row of the ranking files: a building under one strategy.
type line struct {
	b      *ingest.Building
	j      *screen.Judgement
	s      *screen.Survey
	place  int  // of the building
	inside int  // rank of the strategy within the building
	within int  // rank of the building within the strategy
	job    *job // of work lists, else nil
}

// vocabulary holds the texts that repeat in every row, made once.
type vocabulary struct {
	e          *screen.Engine
	strategies []config.Strategy
	texts      [4]map[uint64]string
}

func newVocabulary(e *screen.Engine) *vocabulary {
	v := &vocabulary{e: e, strategies: e.Strategies()}
	for i := range v.texts {
		v.texts[i] = map[uint64]string{}
	}
	return v
}

func (v *vocabulary) gateIDs(bits uint64) string {
	return once(v.texts[0], bits, " ", v.e.GatesOf, func(g config.Gate) string { return g.ID })
}

func (v *vocabulary) gateLabels(bits uint64) string {
	return once(v.texts[1], bits, "; ", v.e.GatesOf, func(g config.Gate) string { return g.Label })
}

func (v *vocabulary) stepIDs(bits uint64) string {
	return once(v.texts[2], bits, " ", v.e.StepsOf, func(s config.Step) string { return s.ID })
}

func (v *vocabulary) stepLabels(bits uint64) string {
	return once(v.texts[3], bits, "; ", v.e.StepsOf, func(s config.Step) string { return s.Label })
}

// once joins texts the first time a set of bits is met.
func once[R any](known map[uint64]string, bits uint64, by string, rows func(uint64) []R, text func(R) string) string {
	s, ok := known[bits]
	if !ok {
		var list []string
		for _, r := range rows(bits) {
			list = append(list, text(r))
		}
		s = strings.Join(list, by)
		known[bits] = s
	}
	return s
}

func level(c ingest.Category) func(*line) cell {
	words := c.Levels()
	return func(l *line) cell { return str(words[l.b.Cat[c]]) }
}
