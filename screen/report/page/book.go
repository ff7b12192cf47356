package page

import (
	"encoding/json"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report"
)

// book writes the words and labels that rows refer to by number. Figures are written
// in the units it names, so that the script converts nothing.
func (w *writer) book() error {
	e, m, chance := w.in.Engine, w.in.Manifest, w.in.Engine.Config().Chance
	var verdicts, ready, actions, nums []string
	for v := range screen.NumVerdicts {
		verdicts = append(verdicts, v.String())
	}
	for r := range screen.NumReadiness {
		ready = append(ready, r.String())
	}
	for a := range screen.NumActions {
		actions = append(actions, a.String())
	}
	var strategies, cats, findings []report.Object
	for _, s := range w.in.Run.Choices() {
		sized := s.Side != config.SideNone // has insulation
		strategies = append(strategies, report.Object{{"label", s.Label}, {"summary", s.Summary}, {"warning", s.Warning}, {"caution", s.Caution}, {"sized", sized}})
	}
	var indicators [2][]report.Object
	for t := range indicators {
		for id := range indicator.Count {
			i, what := id.In(indicator.Tier(t)), ""
			if i.Demand != "" { // else the tier does not judge it
				what = i.Demand + "; limit: " + i.Limit
			}
			indicators[t] = append(indicators[t], report.Object{{"label", i.Label}, {"what", what}, {"source", i.Source}})
		}
	}
	for c := range ingest.NumCategories {
		var levels []string
		for _, level := range c.Levels() {
			levels = append(levels, report.Named(level))
		}
		cats = append(cats, report.Object{{"name", report.Named(c.Name())}, {"levels", levels}})
	}
	for n := range ingest.NumNumbers {
		nums = append(nums, report.Named(n.Name()))
	}
	for field := range int16(ingest.NumCategories) + int16(ingest.NumNumbers) { // how each is investigated
		by := e.Finding(screen.Fact{Field: field})
		findings = append(findings, report.Object{{"label", by.Label}, {"way", report.WayWord(by)}, {"how", by.How}})
	}
	unit := func(s report.Scale) report.Object {
		return report.Object{{"unit", s.Unit}, {"decimals", s.Decimals}}
	}
	units := map[string]report.Object{"layer": unit(report.Thickness[w.units]), "u": unit(report.Transmittance[w.units]), "heat": unit(report.Heat[w.units])}
	return w.element("book", func() error {
		return w.json(report.Object{
			{"verdicts", verdicts}, {"ready", ready}, {"actions", actions}, {"visit", report.GoThere}, {"worklist", report.WorkListCSV}, {"far", report.FarBeyond},
			{"thresholds", [2]float64{chance.SuitedBelow, chance.NotSuitedAbove}},
			{"caution", m.Caution}, {"tier", m.TierCaution}, {"by", "wallsift " + m.Version},
			{"strategies", strategies}, {"indicators", indicators}, {"cats", cats}, {"nums", append(nums, "outside walls face")}, {"findings", findings},
			{"address", report.Address(e, w.in.Run.Source.Names())}, // places of extras
			{"texts", []string{report.Named("heating_fuel"), report.Named("last_survey")}}, {"extras", w.in.Run.Source.Names().Extras},
			{"files", w.in.Run.Source.Names().Files}, {"ip", w.units == report.IP}, {"units", units}, {"repairs", report.RepairsNote(e)},
		})
	})
}

// shared writes what rows refer to; it is known once they are out.
func (w *writer) shared() error {
	return w.element("shared", func() error { return w.json(report.Object{{"names", w.names}, {"pool", w.pool.all}}) })
}

// element opens and closes a data element around what f writes.
func (w *writer) element(id string, f func() error) error {
	w.out.WriteString(`<script type="application/json" id="` + id + `">`)
	if err := f(); err != nil {
		return err
	}
	_, err := w.out.WriteString("</script>\n")
	return err
}

func (w *writer) json(d any) error {
	b, err := json.Marshal(d) // escapes <, > and &
	if err != nil {
		return err
	}
	_, err = w.out.Write(b)
	return err
}
