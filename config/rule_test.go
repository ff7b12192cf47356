package config

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"wallsift/model/material"
)

// Every rule is of a key that exists, every key has a rule, and every number that
// is not a mere place in a list has bounds, the usual within the possible.
func TestRulesFitTheSchema(t *testing.T) {
	// Where a number says nothing by its size, or its row brings the bounds.
	free := []string{"run.seed", "strategies.order", "gates.when.below", "gates.when.above", "steps.when.below", "steps.when.above",
		"steps.check.below", "steps.check.above"}
	root := rootSchema()
	var walk func(section, field string, s *schema)
	walk = func(section, field string, s *schema) {
		r := s.rule
		switch {
		case s.kind == reflect.Slice && s.elem.kind == reflect.Struct:
			s = s.elem
		case s.kind == reflect.Slice:
			s = s.elem
			fallthrough
		case s.kind != reflect.Struct:
			if r == nil || r.Text == "" {
				t.Errorf("%s.%s has no meaning", section, field)
				return
			}
			ownBounds := section == "limits" || section == "evidence"
			if number := s.kind == reflect.Float64 || s.kind == reflect.Int; number && !ownBounds && !slices.Contains(free, section+"."+field) {
				for _, kind := range append(material.Kinds, "") {
					b, layer := r.boundsOf(kind), kind != "membrane" && kind != "air" && kind != ""
					if b.Possible[0] >= b.Possible[1] && (len(r.Kinds) == 0 || layer) {
						t.Errorf("%s.%s has no bounds for the kind %q", section, field, kind)
					}
					if b.Usual != [2]float64{} && (b.Usual[0] < b.Possible[0] || b.Usual[1] > b.Possible[1] || b.Usual[0] >= b.Usual[1]) {
						t.Errorf("%s.%s, kind %q: usual %v, possible %v", section, field, kind, b.Usual, b.Possible)
					}
				}
			}
			return
		}
		for _, name := range s.order {
			walk(section, joinKey(field, name), s.fields[name])
		}
	}
	for _, name := range root.order {
		s := root.fields[name]
		if s.isTable() {
			s = s.elem
		}
		walk(name, "", s)
		for field := range rules()[name] {
			at := s
			for part := range strings.SplitSeq(field, ".") {
				if at.kind == reflect.Slice {
					at = at.elem
				}
				if at = at.child(part); at == nil {
					t.Errorf("%s.%s: a rule of no key", name, field)
					break
				}
			}
		}
	}
	for section := range rules() {
		if !slices.Contains([]string{"rows", "units", "lists"}, section) && root.fields[section] == nil {
			t.Errorf("%s: rules of no section", section)
		}
	}
}

// The words of fields.yaml are those the code knows.
func TestWordsAreTheConstants(t *testing.T) {
	for key, want := range map[string][]string{
		"indoor.method": {"humidity_class", IndoorEN15026}, "run.tier": {TierSteady, TierTransient, TierAuto}, "output.units": {UnitsSI, UnitsIP},
		"strategies.side": {SideNone, SideInterior, SideExterior}, "gates.effect": {EffectExclude, EffectHold, EffectSurvey},
		"gates.tier": {TierSteady, TierTransient}, "findings.way": {WayDesk, WayLook, WayOpen, WayMeasure},
	} {
		if got := Words(key); !reflect.DeepEqual(got, want) {
			t.Errorf("%s accepts %q, the code knows %q", key, got, want)
		}
	}
}
