package config_test

import (
	"testing"

	"wallsift/config"
)

func TestCostRows(t *testing.T) {
	good := write(t, "costs.yaml", "costs:\n  exterior_rigid: {per_m2: 40, per_m2_mm: 0.5, per_home: 1000, source: own tenders}\n  consent: {per_home: 0, source: done by the office}\n")
	l := load(t, config.Inputs{Files: []string{good}})
	// 50 m² × (40 + 0.5 × 120 mm) + 1000
	if c := l.Config.Costs["exterior_rigid"]; c.Of(50, 120) != 6000 || c.ID != "exterior_rigid" {
		t.Errorf("%+v", c)
	}
	for body, words := range map[string][]string{
		"exterior_rigd: {per_m2: 40, source: x}":     {"costs.exterior_rigd", "no such strategy or step", "exterior_rigid"},
		"exterior_rigid: {per_m2: 40}":               {"costs.exterior_rigid.source", "missing"},
		"exterior_rigid: {source: x}":                {"costs.exterior_rigid", "expected per_m2, per_m2_mm or per_home"},
		"consent: {per_m2_mm: 1, source: x}":         {"costs.consent.per_m2_mm", "no sized layer"},
		"exterior_rigid: {per_m2: -1, source: x}":    {"costs.exterior_rigid.per_m2", "-1"},
		"exterior_rigid: {per_metre: 40, source: x}": {"costs.exterior_rigid.per_metre", "unknown key"},
		"exterior_rigid: {per_m2: forty, source: x}": {"costs.exterior_rigid.per_m2", "a finite number"},
	} {
		wantProblem(t, problems(t, config.Inputs{Files: []string{write(t, "c.yaml", "costs:\n  "+body+"\n")}}), words...)
	}
	both := config.Inputs{Flags: map[string]any{"programme.budget": "1000", "programme.target_kwh_a": "5"}}
	wantProblem(t, problems(t, both), "programme.budget", "give one of them")
}

// What programmes are made by moves no result.
func TestProgrammeLeavesTheFingerprint(t *testing.T) {
	costs := write(t, "costs.yaml", "costs:\n  exterior_rigid: {per_m2: 40, source: own tenders}\n")
	plain, priced := load(t, config.Inputs{}), load(t, config.Inputs{Files: []string{costs}, Flags: map[string]any{"programme.homes": "3"}})
	if plain.Fingerprint() != priced.Fingerprint() {
		t.Error("the fingerprint differs")
	}
}
