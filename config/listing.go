package config

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wallsift/model/material"
)

// ListNames lists what Table can print.
func ListNames() []string { return append(TableNames(), "settings") }

// Table returns a table of the configuration for display: a header and rows of
// cells, each row with its source, in the order of ids or of the row's own
// order field. It fails on a name that is not one of ListNames.
func (l *Loaded) Table(name string) (header []string, rows [][]string, err error) {
	c := &l.Config
	switch name {
	case "materials":
		header = []string{"id", "label", "kind", "lambda W/mK", "density kg/m3", "mu dry/wet", "s_d m", "A_w kg/m2s05", "w_f kg/m3", "source"}
		composed, err := material.Resolve(c.Materials) // mixed masonry shows what the models use
		if err != nil {
			return nil, nil, err
		}
		for _, id := range sortedKeys(composed) {
			m := composed[id]
			rows = append(rows, []string{id, m.Label, m.Kind, spreadCell(m.Lambda), spreadCell(m.Density), muCell(&m), sdCell(&m), spreadCell(m.Aw), spreadCell(m.Wf), m.Source})
		}
	case "stations":
		header = []string{"id", "label", "zone", "koppen", "latitude", "longitude", "elevation m", "mean degC", "coldest month degC", "rain mm/a", "source"}
		for _, id := range sortedKeys(c.Stations) {
			s := c.Stations[id]
			rows = append(rows, []string{id, s.Label, s.Zone, s.Koppen, num(s.Latitude), num(s.Longitude), num(s.Elevation),
				strconv.FormatFloat(sum(s.Temp[:])/12, 'f', 1, 64), num(slices.Min(s.Temp[:])), strconv.FormatFloat(sum(s.Rain[:]), 'f', 0, 64), s.Source})
		}
	case "zones":
		header = []string{"id", "label", "station", "source"}
		for _, id := range sortedKeys(c.Zones) {
			z := c.Zones[id]
			rows = append(rows, []string{id, z.Label, z.Station, z.Source})
		}
	case "strategies":
		header = []string{"id", "label", "side", "thickness mm", "gates", "steps", "indicators", "source"}
		for _, id := range byOrder(c.Strategies, func(s Strategy) int { return s.Order }) {
			s := c.Strategies[id]
			rows = append(rows, []string{id, s.Label, s.Side, thicknessCell(s.Thickness), strings.Join(s.Gates, " "), strings.Join(s.Steps, " "), strings.Join(s.Indicators, " "), s.Source})
		}
	case "finishes":
		header = []string{"id", "field", "level", "material", "thickness mm", "A_w factor", "source"}
		for _, id := range sortedKeys(c.Finishes) {
			f := c.Finishes[id]
			rows = append(rows, []string{id, f.Field, f.Level, f.Material, num(f.Thickness * 1000), spreadCell(f.AwFactor), f.Source})
		}
	case "gates":
		header = []string{"id", "label", "when", "effect", "step", "reason", "source"}
		for _, id := range sortedKeys(c.Gates) {
			g := c.Gates[id]
			rows = append(rows, []string{id, g.Label, conditionsCell(g.When), g.Effect, g.Step, g.Reason, g.Source})
		}
	case "steps":
		header = []string{"id", "label", "stage", "order", "when", "check", "builds", "reason", "source"}
		for _, s := range c.StepsInOrder() {
			stage, _ := c.StageOf(&s)
			rows = append(rows, []string{s.ID, s.Label, stage.ID, strconv.Itoa(s.Order), conditionsCell(s.When), conditionsCell(s.Check), s.Builds, s.Reason, s.Source})
		}
	case "stages":
		header = []string{"id", "label", "order", "repair", "materials", "kinds", "source"}
		for _, s := range c.StagesInOrder() {
			rows = append(rows, []string{s.ID, s.Label, strconv.Itoa(s.Order), strconv.FormatBool(s.Repair), strings.Join(s.Materials, " "), strings.Join(s.Kinds, " "), s.Source})
		}
	case "limits", "evidence":
		header = []string{"id", "label", "value", "unit", "source"}
		limits := map[string]map[string]Limit{"limits": c.Limits, "evidence": c.Evidence}[name]
		for _, id := range sortedKeys(limits) {
			lim := limits[id]
			rows = append(rows, []string{id, lim.Label, num(lim.Value), lim.Unit, lim.Source})
		}
	case "exposures":
		header = []string{"id", "meaning for the site", "terrain", "obstruction", "topography", "wind", "sun", "source"}
		for _, id := range sortedKeys(c.Exposures) {
			e := c.Exposures[id]
			rows = append(rows, []string{id, e.Label, strconv.Itoa(e.Terrain), num(e.Obstruction), num(e.Topography), num(e.Wind), num(e.Sun), e.Source})
		}
	case "glossary":
		header = []string{"id", "label", "meaning", "retired", "source"}
		for _, id := range sortedKeys(c.Glossary) {
			t := c.Glossary[id]
			rows = append(rows, []string{id, t.Label, t.Meaning, strings.Join(t.Retired, ", "), t.Source})
		}
	case "priors":
		header = []string{"id", "field", "level", "weight", "source"}
		for _, id := range sortedKeys(c.Priors) {
			p := c.Priors[id]
			rows = append(rows, []string{id, p.Field, p.Level, num(p.Weight), p.Source})
		}
	case "findings":
		header = []string{"id", "label", "way", "how", "source"}
		for _, id := range sortedKeys(c.Findings) {
			f := c.Findings[id]
			rows = append(rows, []string{id, f.Label, f.Way, f.How, f.Source})
		}
	case "settings":
		header = []string{"key", "value", "meaning", "source"}
		rows = l.settingRows()
	default:
		return nil, nil, fmt.Errorf("no table %q; expected one of %s%s", name, strings.Join(ListNames(), ", "), didYouMean(name, ListNames()))
	}
	return header, rows, nil
}

// settingRows lists every setting, also those that are absent.
func (l *Loaded) settingRows() (rows [][]string) {
	flat := flatten(l.values)
	rootSchema().leaves("", l.values, func(key string, s *schema) {
		section, _, _ := strings.Cut(key, ".")
		if slices.Contains(TableNames(), section) {
			return
		}
		value, origin := "(absent)", ""
		if v, ok := flat[key]; ok {
			value, origin = settingCell(v), l.Origins[key]
		}
		rows = append(rows, []string{key, value, Describe(key), origin})
	})
	return rows
}

func settingCell(v any) string {
	list, ok := v.([]any)
	if !ok {
		if text, isText := v.(string); isText {
			return text
		}
		return show(v)
	}
	cells := make([]string, len(list))
	for i, e := range list {
		if m, isMap := e.(map[string]any); isMap {
			var parts []string
			for _, k := range sortedKeys(m) {
				parts = append(parts, k+": "+settingCell(m[k]))
			}
			cells[i] = "{" + strings.Join(parts, ", ") + "}"
			continue
		}
		cells[i] = settingCell(e)
	}
	return strings.Join(cells, ", ")
}

func byOrder[R any](rows map[string]R, order func(R) int) []string {
	ids := sortedKeys(rows)
	slices.SortStableFunc(ids, func(a, b string) int { return cmp.Compare(order(rows[a]), order(rows[b])) })
	return ids
}

func conditionsCell(list []Condition) string {
	var parts []string
	for _, c := range list {
		switch {
		case c.Below != nil:
			parts = append(parts, c.Field+" below "+num(*c.Below))
		case c.Above != nil:
			parts = append(parts, c.Field+" above "+num(*c.Above))
		default:
			parts = append(parts, c.Field+" is "+strings.Join(c.In, " or "))
		}
	}
	return strings.Join(parts, " and ")
}

func spreadCell(r material.Range) string {
	if r == (material.Range{}) {
		return ""
	}
	return short(r.Typical) + " (" + short(r.Low) + " to " + short(r.High) + ")"
}

func muCell(m *material.Material) string {
	if m.MuDry == 0 {
		return ""
	}
	return short(m.MuDry) + "/" + short(m.MuWet)
}

func sdCell(m *material.Material) string {
	if n := len(m.SdCurve); n > 0 {
		return num(m.SdCurve[0].Sd) + " dry to " + num(m.SdCurve[n-1].Sd) + " humid"
	}
	if m.Sd == 0 {
		return ""
	}
	return num(m.Sd)
}

func thicknessCell(t Thickness) string {
	if t == (Thickness{}) {
		return ""
	}
	mm := func(f float64) string { return strconv.FormatFloat(f*1000, 'f', 0, 64) }
	return mm(t.Typical) + " (" + mm(t.Min) + " to " + mm(t.Max) + ")"
}

// short prints three digits, enough for display and free of the tails of mixing.
func short(f float64) string {
	if f >= 100 {
		return strconv.FormatFloat(f, 'f', 0, 64)
	}
	return strconv.FormatFloat(f, 'g', 3, 64)
}

func num(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) }

func sum(values []float64) (s float64) {
	for _, f := range values {
		s += f
	}
	return s
}
