package workbook

import (
	"fmt"
	"unicode/utf8"

	"wallsift/ingest"
	"wallsift/screen/report"
)

const (
	rankingName = "Ranking"
	allName     = "All strategies"
)

// ranking writes the best strategy of each building.
func (b *book) ranking() error {
	return b.rowsOf(rankingName, true, func(f *report.Field) bool { return f.Reach != report.Deep })
}

// allStrategies writes every building under every strategy, with every column.
func (b *book) allStrategies() error {
	return b.rowsOf(allName, false, func(*report.Field) bool { return true })
}

// rowsOf writes the rows of the ranking, with the columns that are wanted.
func (b *book) rowsOf(name string, best bool, want func(*report.Field) bool) error {
	r := report.NewReaderForPeople(b.in.Engine, b.in.Run)
	fields := r.Fields()
	widths, err := sampled(r, len(fields))
	if err != nil {
		return err
	}
	var heads []head
	var from []int // column of the sheet → column of the ranking
	frozen := 0
	for i := range fields {
		f := &fields[i]
		if !want(f) {
			continue
		}
		h := head{title: f.Heading(), kind: f.Kind, decimals: f.Decimals, look: f.Look, user: f.Inventory, width: min(widest, widths[i])}
		// Texts of the tool's own that would be cut off are broken into lines where
		// a building has one row; where it has many, rows stay low.
		if best && f.Kind == report.Text && !f.Inventory && widths[i] > 1.5*widest {
			h.wrap, h.width = true, 70
		}
		heads = append(heads, h)
		from = append(from, i)
		if f.Name == "building_id" {
			frozen = len(heads)
		}
	}
	s, err := b.open(name, frozen, heads)
	if err != nil {
		return err
	}
	row := make([]any, len(from))
	err = r.Each(report.View{Best: best, Labels: true}, func(_ *ingest.Building, values []any) error {
		for k, i := range from {
			row[k] = values[i]
		}
		return s.add(row...)
	})
	if err != nil {
		return err
	}
	if err := s.closeTable(); err != nil {
		return err
	}
	return s.close()
}

// widest is the width, in characters, up to which a column fits its values.
const widest = 40

// sampled is the width, in characters, that the first buildings need. A stream
// has to name widths before it has seen its rows.
func sampled(r *report.Reader, columns int) ([]float64, error) {
	widths := make([]float64, columns)
	err := r.Each(report.View{Labels: true, Buildings: 100}, func(_ *ingest.Building, values []any) error {
		for i, v := range values {
			if v != nil {
				widths[i] = max(widths[i], 2+float64(utf8.RuneCountInString(fmt.Sprint(v))))
			}
		}
		return nil
	})
	return widths, err
}
