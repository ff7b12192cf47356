package config_test

import (
	"slices"
	"testing"

	"wallsift/config"
)

// A header may fill several columns; the same thing said twice is a mistake.
func TestAColumnMayBeMappedToSeveral(t *testing.T) {
	l := load(t, config.Inputs{Files: []string{write(t, "two.yaml", `
input:
  columns:
    - {from: "Wall type", to: stone_type}
    - {from: "Wall type", to: outer_finish}
    - {from: "Seen", to: last_survey_dmy}
`)}})
	m := l.Config.Input.ColumnMap()
	if !slices.Equal(m["Wall type"], []string{"stone_type", "outer_finish"}) || !slices.Equal(m["Seen"], []string{"last_survey_dmy"}) || len(m) != 2 {
		t.Errorf("columns = %v", m)
	}
	ps := problems(t, config.Inputs{Files: []string{write(t, "twice.yaml", `
input:
  columns:
    - {from: "Wall type", to: stone_type}
    - {from: "Wall type", to: stone_type}
    - {from: "Seen"}
`)}})
	wantProblem(t, ps, "input.columns", "Wall type", "is listed twice")
	wantProblem(t, ps, "input.columns[2].to", "missing")
	if len(ps) != 2 {
		t.Errorf("%d problems, want 2: %v", len(ps), ps)
	}
}

// A blank of the inventory may stand for a word.
func TestABlankMayHaveAMeaning(t *testing.T) {
	l := load(t, config.Inputs{Files: []string{write(t, "blank.yaml", `input: {aliases: [{field: salts, from: "", to: none}]}`)}})
	if m := l.Config.Input.AliasMap(); m["salts"][""] != "none" {
		t.Errorf("aliases = %v", m)
	}
}
