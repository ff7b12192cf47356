package compare

import (
	"strings"

	"wallsift/config"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/results"
)

// labels say what ids are called, by the column of the ranking they stand in. The
// JSON and CSV forms keep ids, but for their sentences.
type labels struct {
	headings map[string]string // of columns
	of       map[string]map[string]string
}

// newLabels takes them from a configuration, and those of strategies from the two runs
// as well. An id of neither is printed as it is.
func newLabels(cfg *config.Config, folders [2]*results.Folder) *labels {
	l := &labels{report.FactHeadings(), map[string]map[string]string{}}
	for _, c := range compared {
		l.headings[c.name] = c.label
	}
	l.headings["saved_change_kwh_a"] = "saving, change, kWh/a"
	add := func(column, id, label string) {
		if l.of[column] == nil {
			l.of[column] = map[string]string{}
		}
		if label != "" {
			l.of[column][id] = label
		}
	}
	add(compared[strategy].name, screen.WallByWall.ID, screen.WallByWall.Label)
	for id, s := range cfg.Strategies {
		add(compared[strategy].name, id, s.Label)
	}
	for _, f := range folders {
		for id, label := range f.Manifest.Labels {
			add(compared[strategy].name, id, label)
		}
	}
	for id := range indicator.Count {
		add("governing", id.Info().Name, id.Info().Label)
	}
	for id, g := range cfg.Gates {
		add("gates", id, g.Label)
	}
	for id, s := range cfg.Steps {
		add("fix_first", id, s.Label)
		add("check_on_site", id, s.Label)
	}
	for id, m := range cfg.Materials {
		add("stone_type", id, m.Label)
	}
	for id, s := range cfg.Stations {
		add(zoneColumn, id, s.Label)
	}
	for id, z := range cfg.Zones {
		add(zoneColumn, id, z.Label)
	}
	for _, t := range []indicator.Tier{indicator.Steady, indicator.Transient} {
		add("tier", t.String(), report.JudgedBy(&screen.Judgement{Tier: t}))
	}
	return l
}

// heading is what a column is called.
func (l *labels) heading(column string) string {
	if h := l.headings[column]; h != "" {
		return h
	}
	return plain(column)
}

// word is what a value of a column is called.
func (l *labels) word(column, value string) string {
	if label := l.of[column][value]; label != "" {
		return label
	}
	return plain(value)
}

// change is a change of a column, such as "frost → condensate" or "salts_heavy added".
func (l *labels) change(column, text string) string {
	sides := strings.Split(text, " → ")
	for i, side := range sides {
		id, rest, several := strings.Cut(side, " ")
		if label := l.of[column][id]; several && label != "" {
			sides[i] = label + ": " + rest
		} else {
			sides[i] = l.word(column, side)
		}
	}
	return strings.Join(sides, " → ")
}

// cell is a cell of a column, with words in place of ids.
func (l *labels) cell(column string, x any) any {
	switch x := x.(type) {
	case string:
		return l.word(column, x)
	case pair:
		return pair{l.cell(column, x.old), l.cell(column, x.new)}
	case list:
		out := make(list, len(x))
		for i, f := range x {
			out[i] = fact{l.heading(f.Name), l.word(f.Name, f.Old), l.word(f.Name, f.New)}
		}
		return out
	}
	return x
}
