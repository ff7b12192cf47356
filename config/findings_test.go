package config_test

import (
	"slices"
	"testing"

	"wallsift/config"
)

func TestEveryFindingSaysHow(t *testing.T) {
	c := &load(t, config.Inputs{}).Config
	desk := 0
	for id, f := range c.Findings {
		if f.ID != id || f.Label == "" || f.How == "" || !slices.Contains(config.Words("findings.way"), f.Way) {
			t.Errorf("%s: %+v", id, f)
		}
		if f.OnSite() != (f.Way != config.WayDesk) {
			t.Errorf("%s, found out by way %s: on site %v", id, f.Way, f.OnSite())
		}
		if !f.OnSite() {
			desk++
		}
	}
	if desk == 0 || desk == len(c.Findings) {
		t.Errorf("%d of %d are found at the desk", desk, len(c.Findings))
	}
	// Common practice, no source: a listing and a direction are on paper, timber
	// in a wall is behind its lining, a water uptake is tested.
	for id, way := range map[string]string{"protected_facade": config.WayDesk, "orientation": config.WayDesk, "embedded_timber": config.WayOpen, "a_w": config.WayMeasure} {
		if got := c.Findings[id].Way; got != way {
			t.Errorf("%s is found out by way %s, expected %s", id, got, way)
		}
	}
	for id, p := range c.Priors {
		if _, ok := c.Findings[p.Field]; !ok {
			t.Errorf("priors.%s: nothing says how %s is found out", id, p.Field)
		}
	}
}

func TestWrongFindingsAreNamed(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		words []string
	}{
		"no such way":            {"findings: {a_w: {way: mesure}}", []string{"findings.a_w.way", `"mesure"`, `"measure"`}},
		"new row lacks texts":    {"findings: {elevation: {way: desk, source: a}}", []string{"findings.elevation.how", "missing"}},
		"text taken away":        {`findings: {a_w: {how: " "}}`, []string{"findings.a_w.how", "missing"}},
		"no source":              {`findings: {a_w: {source: ""}}`, []string{"findings.a_w.source", "missing"}},
		"always asked":           {"findings: {orientation: {drop: true}}", []string{"findings.orientation", "a survey asks for it", "do not drop"}},
		"dropped but has priors": {"findings: {embedded_timber: {drop: true}}", []string{"priors.timber_none.field", `"embedded_timber"`, "was dropped"}},
		"priors without a row":   {"priors: {far_off: {field: exposure, level: severe, weight: 1, source: a}}", []string{"priors.far_off.field", `"exposure"`, "no such row in findings"}},
		"no such column":         {"findings: {a_w: {where: site}}", []string{"findings.a_w.where", "unknown key"}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "a.yaml", c.text)
			wantProblem(t, problems(t, config.Inputs{Files: []string{path}}), c.words...)
		})
	}
}

func TestFindingOfNoField(t *testing.T) {
	l := load(t, config.Inputs{Files: []string{write(t, "a.yaml", "findings: {orientaton: {label: a, way: desk, how: b, source: c}}")}})
	fields := map[string][]string{}
	for id := range l.Config.Findings {
		fields[id] = nil
	}
	delete(fields, "orientaton")
	err := l.CheckFields(fields)
	ps, _ := err.(config.Problems)
	wantProblem(t, ps, "findings.orientaton", "no such field of an inventory", `"orientation"`)
}

// A user's own words go before the defaults, field by field.
func TestFindingsAreChanged(t *testing.T) {
	was := load(t, config.Inputs{}).Config.Findings["drain_outlet"]
	l := load(t, config.Inputs{Files: []string{write(t, "a.yaml", "findings: {drain_outlet: {way: desk, how: see the levels on the section, source: own drawings}}")}})
	got := l.Config.Findings["drain_outlet"]
	if got.Label != was.Label || got.Way != config.WayDesk || got.How != "see the levels on the section" {
		t.Errorf("%+v", got)
	}
}
