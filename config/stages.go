package config

import (
	"cmp"
	"maps"
	"reflect"
	"slices"
)

// FaceTreatment stands for a strategy's Face wherever a material is named.
const FaceTreatment = "face_treatment"

// Stage is one stage of work on site. The first stage by Order takes what must
// be found out before any work.
type Stage struct {
	ID        string   `mapstructure:"-"`
	Label     string   `mapstructure:"label"`
	Order     int      `mapstructure:"order"`     // on the scale of Step.Order
	Repair    bool     `mapstructure:"repair"`    // worth doing without the strategy
	Materials []string `mapstructure:"materials"` // layers built in it, by material
	Kinds     []string `mapstructure:"kinds"`     // and by kind of material
	Source    string   `mapstructure:"source"`
}

// InOrder lists the rows of a table by their order field, if any, and id.
func InOrder[R any](table map[string]R) (rows []R) {
	for _, id := range idsInOrder(reflect.ValueOf(table)) {
		rows = append(rows, table[id])
	}
	return rows
}

// Stages are the stages of work in order.
type Stages []Stage

// StepsInOrder lists the steps in the order of work: by stage, then by their own
// order.
func (c *Config) StepsInOrder() []Step {
	stages := Stages(InOrder(c.Stages))
	return slices.SortedFunc(maps.Values(c.Steps), func(a, b Step) int {
		sa, _ := stages.Of(&a)
		sb, _ := stages.Of(&b)
		return cmp.Or(cmp.Compare(sa.Order, sb.Order), cmp.Compare(a.Order, b.Order), cmp.Compare(a.ID, b.ID))
	})
}

// Of returns the stage of a step: the one it names, else the last whose order is
// not above its own. False when there is none.
func (all Stages) Of(s *Step) (Stage, bool) {
	for _, stage := range slices.Backward(all) {
		if stage.ID == s.Stage || s.Stage == "" && stage.Order <= s.Order {
			return stage, true
		}
	}
	return Stage{}, false
}

// OfLayer returns the stage a layer is built in: the one it names, else the one
// that lists its material, which may be FaceTreatment, else the one that lists the
// material's kind. False when there is none.
func (all Stages) OfLayer(l *StrategyLayer, kind string) (Stage, bool) {
	for _, has := range []func(Stage) bool{
		func(s Stage) bool { return s.ID == l.Stage },
		func(s Stage) bool { return slices.Contains(s.Materials, l.Material) },
		func(s Stage) bool { return slices.Contains(s.Kinds, kind) },
	} {
		if i := slices.IndexFunc(all, has); i >= 0 {
			return all[i], true
		}
	}
	return Stage{}, false
}
