package compare

import (
	"cmp"
	"maps"
	"strings"

	"wallsift/config"
	"wallsift/model/climate"
	"wallsift/model/indicator"
	"wallsift/model/material"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/results"
)

// labels say what ids are called, by the column that they stand in. The JSON and CSV
// forms keep ids, but for their sentences.
type labels map[string]map[string]string

// newLabels takes them from a configuration, and those of strategies from the two runs
// as well. An id of neither is printed as it is.
func newLabels(cfg *config.Config, folders [2]*results.Folder) labels {
	headings := report.FactHeadings()
	for _, c := range compared {
		headings[c.name] = c.label
	}
	headings["saved_change_kwh_a"] = "saving, change, kWh/a"
	strategies := labelled(cfg.Strategies, func(s config.Strategy) string { return s.Label })
	strategies[screen.WallByWall.ID] = screen.WallByWall.Label
	for _, f := range folders {
		maps.Copy(strategies, f.Manifest.Labels)
	}
	measures, tiers := map[string]string{}, map[string]string{}
	for id := range indicator.Count {
		measures[id.Info().Name] = id.Info().Label
	}
	for _, t := range []indicator.Tier{indicator.Steady, indicator.Transient} {
		tiers[t.String()] = report.JudgedBy(&screen.Judgement{Tier: t})
	}
	steps := labelled(cfg.Steps, func(s config.Step) string { return s.Label })
	climates := labelled(cfg.Stations, func(s climate.Station) string { return s.Label })
	maps.Copy(climates, labelled(cfg.Zones, func(z config.Zone) string { return z.Label }))
	return labels{
		"fact": headings, "column": headings, "what": headings, "facts": {},
		compared[strategy].name: strategies, "best_strategy": strategies, "governing": measures, "tier": tiers,
		"gates": labelled(cfg.Gates, func(g config.Gate) string { return g.Label }), "fix_first": steps, "check_on_site": steps,
		"stone_type": labelled(cfg.Materials, func(m material.Material) string { return m.Label }), zoneColumn: climates,
	}
}

// labelled are the labels of a table's rows.
func labelled[R any](rows map[string]R, label func(R) string) map[string]string {
	out := map[string]string{}
	for id, r := range rows {
		out[id] = label(r)
	}
	return out
}

// word is what a value of a column is called; those of "column" are columns.
func (l labels) word(column, value string) string {
	return cmp.Or(l[column][value], report.Named(value))
}

// cell is a cell of a column, with words in place of ids, also in changes of it such as
// "frost → condensate" or "salts_heavy added".
func (l labels) cell(column string, x any) any {
	switch x := x.(type) {
	case string:
		sides := strings.Split(x, " → ")
		for i, side := range sides {
			id, rest, several := strings.Cut(side, " ")
			if label := l[column][id]; several && label != "" {
				sides[i] = label + ": " + rest
			} else {
				sides[i] = l.word(column, side)
			}
		}
		return strings.Join(sides, " → ")
	case pair:
		return pair{l.cell(column, x.old), l.cell(column, x.new)}
	case list:
		out := make(list, len(x))
		for i, f := range x {
			out[i] = fact{l.word("column", f.Name), l.word(f.Name, f.New), l.word(f.Name, f.Old)}
		}
		return out
	}
	return x
}
