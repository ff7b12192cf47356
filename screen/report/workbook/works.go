package workbook

import (
	"wallsift/ingest"
	"wallsift/screen/report"
)

const worksName = "Work list"

// works writes the work of every building in the order it is done on site.
func (b *book) works() error {
	w := report.NewWorks(b.in.Engine, b.in.Run)
	var heads []head
	frozen := 0
	for i, f := range w.Fields() {
		h := head{title: f.Heading(), kind: f.Kind, decimals: f.Decimals, look: f.Look, user: f.Inventory, width: 16}
		switch f.Name {
		case "building_id":
			frozen = i + 1
		case "strategy", "stage", "material":
			h.width = 32
		case "work", "why", "holds_up":
			h.wrap, h.width = true, 44
		case "source":
			h.width = 36
		}
		heads = append(heads, h)
	}
	s, err := b.open(worksName, frozen, heads)
	if err != nil {
		return err
	}
	if err := w.Each(func(_ *ingest.Building, values []any) error { return s.add(values...) }); err != nil {
		return err
	}
	if err := s.closeTable(); err != nil {
		return err
	}
	for _, text := range []string{report.ReadyRule, b.in.Manifest.Caution} {
		if err := s.below(text, 12); err != nil {
			return err
		}
	}
	return s.close()
}
