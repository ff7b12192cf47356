package workbook

import (
	"strings"

	"wallsift/ingest"
	"wallsift/screen/report"
)

const surveyName = "Survey"

// survey writes the survey order: where a visit is worth most, and what to find
// out there.
func (b *book) survey() error {
	v, err := report.NewVisits(b.in.Engine, b.in.Run)
	if err != nil {
		return err
	}
	var heads []head
	frozen := 0
	for i, f := range v.Fields() {
		h := head{title: f.Heading(), kind: f.Kind, decimals: f.Decimals, look: f.Look, user: f.Inventory, width: 16}
		switch {
		case f.Name == "building_id":
			frozen = i + 1
		case f.Name == "visit":
			h.width = 8
		case f.Name == "strategy_words":
			h.width = 32
		case f.Kind == report.Real:
			h.width = 12
		case !strings.HasPrefix(f.Name, "fact_"):
			if h.user { // an address is among the inventory's own columns
				h.width = 22
			}
		case strings.HasSuffix(f.Name, "_how"), strings.HasSuffix(f.Name, "_enter"):
			h.wrap, h.width = true, 34
		case strings.HasSuffix(f.Name, "_words"):
			h.wrap, h.width = true, 24
		}
		heads = append(heads, h)
	}
	s, err := b.open(surveyName, frozen, heads)
	if err != nil {
		return err
	}
	if err := v.Each(func(_ *ingest.Building, values []any) error { return s.add(values...) }); err != nil {
		return err
	}
	if err := s.closeTable(); err != nil {
		return err
	}
	for _, text := range []string{v.Note(), b.in.Manifest.Caution} {
		if err := s.below(text, 10); err != nil {
			return err
		}
	}
	return s.close()
}
