package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// An invented list as such lists are: a title, semicolons, decimal commas, a
// number that somebody estimated, a range, blanks, words of its own, and a sum.
const awkward = `Register of old walls, Sundholm;;;;;;;;;
;;;;;;;;;
Asset ID;Wall (cm);Walling material;Climat zone;Driving rain;Timber in wall;Heated floor (m2);Joint condition;Thickness;Notes
A-1;ca. 35;Granit rubble;Oceanic wet;Sheltered;joists;104,5;open;2;by the mill
A-2;48-53;common brick;oceanic wet;exposed;;88,0;Sound;3;
A-3;45,5;Rubble granite;oceanic_wet;severe;None;;weatherd;;leans
Total;;;;;;192,5;;;
`

// mappingFor runs check and returns the mapping it writes.
func mappingFor(t *testing.T, args ...string) (path, text string, s said) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "mapping.yaml")
	s = call(t, t.Context(), append([]string{"check", "--write-mapping", path}, args...)...)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err, s.err)
	}
	return path, string(b), s
}

// A mapping that is written for an awkward list loads, says which lines are
// guesses, and once its open lines are filled every building is read.
func TestMappingIsWrittenLoadedAndFilled(t *testing.T) {
	list := write(t, "awkward.csv", awkward)
	path, text, s := mappingFor(t, list)
	if s.code != exitFailed { // the list cannot be read without it
		t.Errorf("exit code %d: %s", s.code, s.err)
	}
	for _, line := range []string{
		`    # - {from: "Asset ID", to: "building_id"}`, `    - {from: "Wall (cm)", to: "wall_thickness_cm"}  # ` + guessed,
		`    - {from: "Walling material", to: "stone_type"}  # ` + guessed, `    - {from: "Climat zone", to: "climate_zone"}  # ` + guessed,
		`    - {from: "Driving rain", to: "exposure"}  # ` + guessed, `    - {from: "Timber in wall", to: "embedded_timber"}  # ` + guessed,
		`    - {from: "Heated floor (m2)", to: "floor_area_m2"}  # ` + guessed, `    # - {from: "Notes", to: "-"}`, `    # - {from: "Thickness", to: "-"}`,
		`    - {field: stone_type, from: "Granit rubble", to: "granite_rubble"}  # ` + guessed, `    - {field: stone_type, from: "common brick", to: "brick_common"}  # ` + guessed,
		`    - {field: embedded_timber, from: "joists", to: "joist_ends"}  # ` + guessed, `    # - {field: embedded_timber, from: "", to: "unknown"}`,
		`    # - {field: exposure, from: "exposed", to: ""}`, `    - {field: joint_condition, from: "weatherd", to: "weathered"}  # ` + guessed,
	} {
		if !strings.Contains(text, "\n"+line) {
			t.Errorf("no line %s in\n%s", line, text)
		}
	}
	if strings.Contains(text, "Joint condition") {
		t.Error("a header that is known is mapped")
	}
	if !strings.Contains(s.err, "suggestions to check") {
		t.Error(s.err)
	}
	if s := call(t, t.Context(), "check", "--config", path, list); s.code != exitFailed || !strings.Contains(s.out, "required column missing: building_id") {
		t.Errorf("as it stands: exit code %d: %s", s.code, s.err)
	}
	open := strings.ReplaceAll(text, "    # - ", "    - ")
	if s := call(t, t.Context(), "check", "--config", write(t, "open.yaml", open), list); s.code != exitUsage || !strings.Contains(s.err, "to: missing") {
		t.Errorf("an open line was taken: exit code %d: %s", s.code, s.err)
	}
	filled := write(t, "filled.yaml", strings.Replace(open, `from: "exposed", to: ""`, `from: "exposed", to: severe`, 1))
	if s := call(t, t.Context(), "check", "--config", filled, list, "--format", "csv", "--set", "run.max_rejected_share=0.5"); s.code != exitDone || !strings.Contains(s.out, "files,"+list+",3,2\n") {
		t.Errorf("exit code %d: %s%s", s.code, s.out, s.err)
	}
	// A second one keeps what is in force, without the marks, and finds nothing new
	// but the blanks of the sum.
	_, again, _ := mappingFor(t, list, "--config", filled)
	if strings.Contains(again, guessed+":") || !strings.Contains(again, `- {field: exposure, from: "exposed", to: "severe"}`) || regexp.MustCompile(`from: "[^"]+", to: ""`).MatchString(again) {
		t.Error(again)
	}
}

// What an earlier mapping holds is work, so it is never written over.
func TestMappingIsNotWrittenOver(t *testing.T) {
	old := write(t, "old.yaml", "input: {}\n")
	s := call(t, t.Context(), "check", demo, "--write-mapping", old)
	if b, err := os.ReadFile(old); err != nil || string(b) != "input: {}\n" || s.code != exitUsage || !strings.Contains(s.err, "not overwritten") {
		t.Errorf("exit code %d, %s: %s", s.code, b, s.err)
	}
}

// Where nothing is guessed every key is a comment, and the file still loads.
func TestMappingOfAListInAnotherLanguageLoads(t *testing.T) {
	list := "../../testdata/wrzeciodom/register.csv"
	path, text, _ := mappingFor(t, list)
	if strings.Contains(text, "\n  columns:") || !strings.Contains(text, "required, and no header seems to be it: stone_type") {
		t.Error(text)
	}
	if s := call(t, t.Context(), "check", "--config", path, demo); s.code != exitDone {
		t.Error(s.err)
	}
}
