package page

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
	"wallsift/model/wall"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/places/geoparquet"
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
		by := e.Finding(screen.Fact{Field: field}.Name())
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

// pool holds what many rows share, so that a row names it by its place. It grows with
// the variety of an inventory, not with its length.
type pool struct {
	all []json.RawMessage
	at  map[string]int // by JSON
}

// place finds a thing; it is added when it is new.
func (p *pool) place(x any) int {
	text, err := json.Marshal(x)
	if err != nil {
		panic(err) // words and numbers that can be written
	}
	at, ok := p.at[string(text)]
	if !ok {
		at = len(p.all)
		p.at[string(text)], p.all = at, append(p.all, text)
	}
	return at
}

// places are those of a list.
func places[T any](p *pool, list []T) []int {
	out := make([]int, len(list))
	for i, x := range list {
		out[i] = p.place(x)
	}
	return out
}

// row takes a row apart: the values go with it, their names stand once on the page.
func (w *writer) row(kind string, o report.Object) []any {
	names, values := make([]any, len(o)), make([]any, len(o))
	for i, member := range o {
		names[i], values[i] = member[0], member[1]
	}
	w.names[kind] = names
	return values
}

// rounded is a figure with some decimals, null where there is none.
func rounded(x float64, decimals int) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return report.Rounded(x, decimals)
}

// buildings writes a row for each building that is shown, in order of place.
func (w *writer) buildings() error {
	order := make([]uint32, len(w.in.Shown))
	for i, place := range w.in.Shown {
		order[i] = w.in.Run.Ranks.Overall[place]
	}
	return w.element("buildings", func() error {
		w.out.WriteByte('[')
		at := 0
		err := w.each(order, func(i uint32, r *screen.Row) error {
			if at++; at > 1 {
				w.out.WriteString(",\n")
			}
			return w.json(w.row("building", w.building(w.in.Shown[at-1]+1, i, r)))
		})
		w.out.WriteByte(']')
		return err
	})
}

// building is what the page shows of one, in the page's units. What has a place is in
// the pool.
func (w *writer) building(rank int, building uint32, row *screen.Row) report.Object {
	b, s := &row.Building, &row.Survey
	var nums []string
	var facts, list []any
	var wrong, need, lat, lon any // null where they are not known
	for n := range ingest.NumNumbers {
		nums = append(nums, w.units.Known(b, n))
	}
	if s.Wrong >= 0 {
		wrong = rounded(float64(s.Wrong), 3)
	}
	for _, f := range s.Facts {
		if f.Field >= 0 && s.Wrong >= 0 {
			need = report.VisitNeeded(w.in.Engine, s)
			facts = append(facts, report.Object{{"fact", f.Field}, {"clears", rounded(float64(f.Clears), 3)}, {"cuts", rounded(float64(f.Gain), 3)}})
		}
	}
	if x, y := b.Num[ingest.Longitude], b.Num[ingest.Latitude]; geoparquet.Known(x, y) {
		lat, lon = rounded(y, 5), rounded(x, 5) // to a metre
	}
	for i := range row.Judgements {
		list = append(list, w.row("judgement", w.judgement(building, row, &row.Judgements[i])))
	}
	before, _ := w.in.Engine.Stack(row.Governing(&row.Judgements[0]))
	return report.Object{
		{"id", b.ID}, {"group", b.Text[ingest.GroupKey]}, {"extra", b.Extra}, {"file", b.File}, {"line", b.Line}, {"rank", rank}, {"ready", report.Ready(w.in.Engine, row)},
		{"stone", w.pool.place(w.stones[b.Stone])}, {"zone", w.pool.place(w.zones[b.Zone])}, {"lat", lat}, {"lon", lon},
		{"cats", b.Cat}, {"nums", append(nums, b.Facings.String())}, {"texts", []string{b.Text[ingest.HeatingFuel], b.Text[ingest.LastSurvey]}}, // as the book names them
		{"wrong", wrong}, {"need", w.pool.place(need)}, {"facts", facts}, // chances: of a wrong choice, and that a fact settles the verdict or mends the choice
		{"u", rounded(report.Transmittance[w.units].Of(row.Judgements[0].UBefore), 3)}, {"stack", w.stack(&before)}, // as it is
		{"list", list}, // in order of rank within the building
	}
}

// stack is the place of layers.
func (w *writer) stack(of *wall.Wall) int {
	var layers []report.Object
	for _, l := range of.Layers[:of.N] {
		layers = append(layers, report.Object{
			{"label", l.Material.Label}, {"kind", l.Material.Kind}, {"thick", rounded(report.Thickness[w.units].Of(l.Thickness), 3)},
			{"sized", l.Role == wall.Sized}, {"old", l.Role == wall.Masonry},
		})
	}
	return w.pool.place(places(&w.pool, layers))
}

// judgement is what the page shows of a building under one strategy.
func (w *writer) judgement(building uint32, row *screen.Row, j *screen.Judgement) report.Object {
	e, b := w.in.Engine, &row.Building
	var survey *screen.Survey
	if j == screen.ForWork(row.Judgements) {
		survey = &row.Survey
	}
	ready, lines := report.WorkLines(e, row, j, survey)
	_, after := e.Stack(row.Governing(j))
	limit, facing := w.governing(j)
	var chances, high any // null where it was not drawn, or not judged by limits
	if j.Chance >= 0 {
		chances = []any{rounded(j.Chance, 3), rounded(j.ChanceLow, 3), rounded(j.ChanceHigh, 3)}
	}
	if !j.Excluded {
		high = rounded(j.High, 2)
	}
	var shares [indicator.Count]any // null where a measure does not apply
	for id, u := range j.Utilisation {
		if !j.Excluded && (u >= 0 || u == screen.NotJudged) {
			shares[id] = rounded(u, 2)
		}
	}
	var courses [len(j.Course)]any
	for i, course := range j.Course {
		if course != ([simulate.Weeks]uint8{}) {
			courses[i] = course[:] // bytes: JSON has them in base 64
		}
	}
	answer := report.Object{
		{"verdict", j.Verdict}, {"words", report.VerdictWords(e, j)}, {"byRule", j.Excluded}, {"near", j.Near},
		{"tier", j.Tier}, {"judgedBy", report.JudgedBy(j)}, {"unlike", report.Unlike(e, j)}, {"ready", ready},
	}
	return report.Object{
		{"strategy", j.Strategy}, {"rank", w.in.Run.Ranks.In(j.Strategy, building)}, {"answer", w.pool.place(answer)},
		{"chances", chances}, {"range", w.pool.place(report.Chance(j))}, {"draws", j.Draws}, // best guess, and both ends
		{"low", rounded(j.Low, 2)}, {"typical", rounded(j.Typical, 2)}, {"high", high}, {"shares", shares}, // of limits
		{"most", w.pool.place(report.Governed(b, j))}, {"limit", w.pool.place(limit)}, {"kept", w.pool.place(w.keptUpTo(j))}, {"facing", w.pool.place(facing)},
		{"saved", rounded(report.Heat[w.units].Of(j.Saved), 1)}, {"u", rounded(report.Transmittance[w.units].Of(j.UAfter), 3)}, {"lost", rounded(j.MassLoss, 3)},
		{"stack", w.stack(&after)}, {"works", w.pool.place(places(&w.pool, lines))}, {"courses", courses},
		{"why", places(&w.pool, append(report.Clauses(w.units, e, b, j), report.WallsClause(e, row, j)))},
	}
}

// governing is the limit of the measure that governs, and the facing that does.
func (w *writer) governing(j *screen.Judgement) (limit, facing string) {
	if !j.HasGovern || j.Excluded {
		return "", ""
	}
	x, unit := w.units.Measure(j.Limit, j.Governing.In(j.Tier).Unit)
	limit, facing = fmt.Sprintf("limit: %.3g %s", x, unit), ingest.FacingOf(j.Facing).String()
	if j.Facings > 1 {
		facing += ", of " + report.Counted(int(j.Facings), "facing")
	}
	return strings.TrimSpace(strings.TrimSuffix(limit, " 1")), facing // a ratio has no unit
}

// keptUpTo says up to how much insulation limits are kept.
func (w *writer) keptUpTo(j *screen.Judgement) string {
	a := &j.Allowance
	most := report.Insulation[w.units].With(a.Thickness)
	switch {
	case j.Excluded:
		return ""
	case !a.Known:
		return "not asked"
	case a.Full:
		return most + ", the whole range"
	case a.Thickness == 0:
		return "not even the thinnest: " + a.By.Info().Label
	}
	return most + ", then " + a.By.Info().Label
}
