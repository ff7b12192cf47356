package page

import (
	"encoding/json"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report"
)

type bookStrategy struct {
	ID      string `json:"id"`
	Label   string `json:"label"`
	Summary string `json:"summary"`
	Warning string `json:"warning"`
	Sized   bool   `json:"sized"` // has insulation
}

// bookUnits says what figures of the page are in. They are written in these
// units, so that the script converts nothing.
type bookUnits struct {
	IP    bool     `json:"ip"`
	Layer bookUnit `json:"layer"`
	U     bookUnit `json:"u"`
	Heat  bookUnit `json:"heat"`
}

type bookUnit struct {
	Unit     string `json:"unit"`
	Decimals int    `json:"decimals"`
}

func bookUnitOf(s report.Scale) bookUnit { return bookUnit{s.Unit(), s.Decimals()} }

type bookIndicator struct {
	Label  string `json:"label"`
	Demand string `json:"demand"`
	Limit  string `json:"limit"`
	Unit   string `json:"unit"`
	Source string `json:"source"`
}

type bookField struct {
	Name   string   `json:"name"`
	Unit   string   `json:"unit,omitempty"`
	Per    float64  `json:"per,omitempty"` // of numbers: the data are the number × per
	Levels []string `json:"levels,omitempty"`
}

// book writes the words and labels that rows refer to by number.
func (w *writer) book() error {
	var d struct {
		Buildings  int                `json:"buildings"`
		Block      int                `json:"block"`
		Courses    int                `json:"courses"`
		Alphabet   string             `json:"alphabet"`
		Verdicts   []string           `json:"verdicts"`
		Ready      []string           `json:"ready"`
		Actions    []string           `json:"actions"`
		WorkList   string             `json:"worklist"`
		Cut        int                `json:"cut"` // utilisations end there
		Strategies []bookStrategy     `json:"strategies"`
		Indicators [2][]bookIndicator `json:"indicators"` // by tier
		Cats       []bookField        `json:"cats"`
		Nums       []bookField        `json:"nums"`
		Findings   []bookFact         `json:"findings"` // by field: categories, then numbers
		Address    int                `json:"address"`  // of extras, -1 without
		Texts      []string           `json:"texts"`
		Extras     []string           `json:"extras"`
		Stones     []string           `json:"stones"`
		Zones      []string           `json:"zones"`
		ExtraGap   string             `json:"gap"`
		Units      bookUnits          `json:"units"`
		Repairs    string             `json:"repairs"`
	}
	d.Buildings, d.Block, d.Courses, d.Alphabet = w.in.Run.Ranks.Len(), blockRows, w.courses, string(alphabet)
	for v := range screen.NumVerdicts {
		d.Verdicts = append(d.Verdicts, v.String())
	}
	d.WorkList, d.Cut = report.WorkListCSV, indicator.MaxUtilisation
	for r := range screen.NumReadiness {
		d.Ready = append(d.Ready, r.String())
	}
	for a := screen.Do; a <= screen.NotNow; a++ {
		d.Actions = append(d.Actions, a.String())
	}
	for _, s := range w.strategies {
		d.Strategies = append(d.Strategies, bookStrategy{s.ID, s.Label, w.units.Prose(s.Summary), w.units.Prose(s.Warning), s.Side != config.SideNone})
	}
	for t := range d.Indicators {
		for id := range indicator.Count {
			i := id.In(indicator.Tier(t))
			d.Indicators[t] = append(d.Indicators[t], bookIndicator{i.Label, w.units.Prose(i.Demand), w.units.Prose(i.Limit), w.unitFor(i.Unit), i.Source})
		}
	}
	for c := range ingest.NumCategories {
		d.Cats = append(d.Cats, bookField{Name: spaced(c.Name()), Levels: spacedAll(c.Levels())})
	}
	for i := range w.facts {
		f := &w.facts[i]
		d.Nums = append(d.Nums, bookField{Name: f.name, Unit: f.unit, Per: f.per()})
	}
	d.Units = bookUnits{IP: w.units.IP, Layer: bookUnitOf(w.units.Layer), U: bookUnitOf(w.units.U), Heat: bookUnitOf(w.units.Heat)}
	if w.repairsRefused() {
		d.Repairs = report.RepairsNote(w.in.Engine)
	}
	d.Findings, d.Address = w.findings(), w.address
	d.Texts = []string{spaced("heating_fuel"), spaced("last_survey")}
	d.Extras, d.Stones, d.Zones, d.ExtraGap = w.in.Run.ExtraColumns(), w.words.stones, w.words.zones, extraGap
	return w.element(`id="book"`, func() error { return w.json(d) })
}

// shared writes what details refer to by number; it is known once they are out.
func (w *writer) shared() error {
	var d struct {
		Lines     []json.RawMessage `json:"lines"` // of work lists
		Stages    []json.RawMessage `json:"stages"`
		Lists     []json.RawMessage `json:"lists"`
		Stacks    []json.RawMessage `json:"stacks"`
		Materials []material        `json:"materials"`
		Words     []string          `json:"words"` // of sentences, and texts of their own
	}
	d.Lines, d.Stages, d.Lists, d.Stacks, d.Words = raw(w.pool.lines), raw(w.pool.stages), raw(w.pool.lists), raw(w.pool.stacks), w.pool.words
	d.Materials = w.pool.materials
	return w.element(`id="shared"`, func() error { return w.json(d) })
}

func (w *writer) json(d any) error {
	b, err := json.Marshal(d) // escapes <, > and &
	if err != nil {
		return err
	}
	_, err = w.out.Write(b)
	return err
}

// unitFor is the unit an indicator is shown in.
func (w *writer) unitFor(si string) string {
	_, unit := w.units.Measure(0, si)
	return unit
}

// raw hands on JSON that is written already.
func raw(list []string) []json.RawMessage {
	out := make([]json.RawMessage, len(list))
	for i, s := range list {
		out[i] = json.RawMessage(s)
	}
	return out
}
