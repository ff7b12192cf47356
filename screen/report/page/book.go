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
	Label   string `json:"label"`
	Summary string `json:"summary"`
	Warning string `json:"warning"`
	Caution string `json:"caution"`
	Sized   bool   `json:"sized"` // has insulation
}

// bookUnit says what figures of the page are in. They are written in these units,
// so that the script converts nothing.
type bookUnit struct {
	Unit     string `json:"unit"`
	Decimals int    `json:"decimals"`
}

type bookIndicator struct {
	Label  string `json:"label"`
	What   string `json:"what"` // demand and limit, "" where the tier does not judge it
	Source string `json:"source"`
}

type bookField struct {
	Name   string   `json:"name"`
	Levels []string `json:"levels,omitempty"`
}

// bookFact says how a fact is found out.
type bookFact struct {
	Label string `json:"label"`
	Where string `json:"where"`
	How   string `json:"how"`
}

// book writes the words and labels that rows refer to by number.
func (w *writer) book() error {
	e := w.in.Engine
	var d struct {
		Block      int                 `json:"block"`
		Alphabet   string              `json:"alphabet"`
		Verdicts   []string            `json:"verdicts"`
		Excluded   string              `json:"excluded"`
		Bare       string              `json:"bare"` // not suited, without insulation
		Ready      []string            `json:"ready"`
		Actions    []string            `json:"actions"`
		Needs      []string            `json:"needs"`
		WorkList   string              `json:"worklist"`
		FarBeyond  int                 `json:"far"`
		Thresholds [2]float64          `json:"thresholds"` // of the chance
		Caution    string              `json:"caution"`
		Tier       string              `json:"tier"` // caution of the tier
		By         string              `json:"by"`
		Strategies []bookStrategy      `json:"strategies"`
		Indicators [2][]bookIndicator  `json:"indicators"` // by tier
		Cats       []bookField         `json:"cats"`
		Nums       []string            `json:"nums"`
		Findings   []bookFact          `json:"findings"` // by field: categories, then numbers
		Address    []int               `json:"address"`  // of extras
		Texts      []string            `json:"texts"`
		Extras     []string            `json:"extras"`
		Files      []string            `json:"files"`
		Stones     []string            `json:"stones"`
		Zones      []string            `json:"zones"`
		Gap        string              `json:"gap"`
		IP         bool                `json:"ip"`
		Units      map[string]bookUnit `json:"units"`
		Repairs    string              `json:"repairs"`
	}
	d.Block, d.Alphabet, d.WorkList, d.FarBeyond = blockRows, string(alphabet), report.WorkListCSV, report.FarBeyond
	d.Excluded, d.Bare, d.Needs, d.Caution, d.Repairs = report.ExcludedBy, report.RepairsNotEnough, needs, w.in.Manifest.Caution, report.RepairsNote(e)
	d.Tier, d.By = w.in.Manifest.TierCaution, "wallsift "+w.in.Manifest.Version
	d.Thresholds[0], d.Thresholds[1] = w.in.Chance.SuitedBelow, w.in.Chance.NotSuitedAbove
	for v := range screen.NumVerdicts {
		d.Verdicts = append(d.Verdicts, v.String())
	}
	for r := range screen.NumReadiness {
		d.Ready = append(d.Ready, r.String())
	}
	for a := range screen.NumActions {
		d.Actions = append(d.Actions, a.String())
	}
	for _, s := range w.strategies {
		d.Strategies = append(d.Strategies, bookStrategy{s.Label, s.Summary, s.Warning, s.Caution, s.Side != config.SideNone})
	}
	for t := range d.Indicators {
		for id := range indicator.Count {
			i := id.In(indicator.Tier(t))
			what := ""
			if i.Demand != "" {
				what = i.Demand + "; limit: " + i.Limit
			}
			d.Indicators[t] = append(d.Indicators[t], bookIndicator{i.Label, what, i.Source})
		}
	}
	for c := range ingest.NumCategories {
		f := bookField{Name: report.Named(c.Name())}
		for _, level := range c.Levels() {
			f.Levels = append(f.Levels, report.Named(level))
		}
		d.Cats = append(d.Cats, f)
	}
	for n := range ingest.NumNumbers {
		d.Nums = append(d.Nums, report.Named(n.Name()))
	}
	d.Nums = append(d.Nums, "outside walls face")
	for field := range int16(ingest.NumCategories) + int16(ingest.NumNumbers) {
		by := e.Finding(screen.Fact{Field: field})
		d.Findings = append(d.Findings, bookFact{by.Label, report.FoundOut(&by), by.How})
	}
	unit := func(s report.Scale) bookUnit { return bookUnit{s.Unit(), s.Decimals()} }
	d.IP, d.Units = w.units.IP, map[string]bookUnit{"layer": unit(w.units.Thickness), "u": unit(w.units.U), "heat": unit(w.units.Heat)}
	d.Texts = []string{report.Named("heating_fuel"), report.Named("last_survey")}
	d.Files, d.Address, d.Extras, d.Stones, d.Zones, d.Gap = w.in.Run.Files(), report.Address(e, w.in.Run.Names()), w.in.Run.ExtraColumns(), w.stones, w.zones, extraGap
	return w.element(`id="book"`, func() error { return w.json(d) })
}

// labels lists the labels of terms, and where each stands by its id.
func labels(terms []ingest.Term, withID bool) (out []string, index map[string]int) {
	index = map[string]int{}
	for i, t := range terms {
		label := t.Label
		switch {
		case label == "":
			label = t.ID
		case withID: // people know zones by it
			label = t.ID + ", " + label
		}
		out, index[t.ID] = append(out, label), i
	}
	return out, index
}

// shared writes what details refer to by number; it is known once they are out.
func (w *writer) shared() error {
	p := w.pool
	d := map[string]any{"lines": raw(p.lines), "lists": raw(p.lists), "stacks": raw(p.stacks), "materials": p.materials, "words": p.words.all}
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

// raw hands on JSON that is written already.
func raw(s shelf) []json.RawMessage {
	out := make([]json.RawMessage, len(s.all))
	for i, text := range s.all {
		out[i] = json.RawMessage(text)
	}
	return out
}
