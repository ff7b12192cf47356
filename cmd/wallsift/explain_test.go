package main

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// tablesOf gives the rows of tables printed as CSV by name of the table, its
// headings first.
func tablesOf(t *testing.T, out string) map[string][][]string {
	t.Helper()
	r := csv.NewReader(strings.NewReader(out))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	tables := map[string][][]string{}
	for i, row := range rows {
		name := row[0]
		if name == "table" && i+1 < len(rows) { // the headings of the next one
			name = rows[i+1][0]
		}
		tables[name] = append(tables[name], row[1:])
	}
	return tables
}

// A fact that is changed on the command line gives what an inventory with that
// fact gives, whatever the kind of its column.
func TestWhatIfIsWhatTheInventoryWouldSay(t *testing.T) {
	const head = "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,salts,a_w_kg_m2_s05,exposed_facings,orientation,last_survey,wall_area_m2\n"
	list := write(t, "as-is.csv", head+"A,400-450,brick_common,oceanic_wet,severe,joist_ends,heavy,,,NE,2019-04-30,80\n")
	for name, c := range map[string]struct {
		row  string
		sets []string
	}{
		"a number":           {"A,600,brick_common,oceanic_wet,severe,joist_ends,heavy,,,NE,2019-04-30,80", []string{"wall_thickness_cm=60"}},
		"a range":            {"A,300-350,brick_common,oceanic_wet,severe,joist_ends,heavy,,,NE,2019-04-30,80", []string{"wall_thickness_mm=300-350"}},
		"what was not given": {"A,400-450,brick_common,oceanic_wet,severe,joist_ends,heavy,0.01,,NE,2019-04-30,80", []string{"a_w_kg_m2_s05=0.01"}},
		"two words":          {"A,400-450,brick_common,oceanic_wet,sheltered,none,heavy,,,NE,2019-04-30,80", []string{"exposure=sheltered", "embedded_timber=None"}},
		"not known any more": {"A,400-450,brick_common,oceanic_wet,severe,joist_ends,,,,,2019-04-30,80", []string{"salts=unknown", "orientation="}},
		"stone and climate":  {"A,400-450,granite_rubble,4c,severe,joist_ends,heavy,,N S,NE,2019-04-30,80", []string{"stone_type=granite_rubble", "climate_zone=4C", "exposed_facings=N/S"}},
	} {
		args := []string{"explain", list, "--building", "A", "--format", "csv"}
		for _, s := range c.sets {
			args = append(args, "--set", "building."+s)
		}
		got := call(t, t.Context(), args...)
		want := call(t, t.Context(), "explain", write(t, "changed.csv", head+c.row+"\n"), "--building", "A", "--format", "csv")
		if got.code != exitDone || want.code != exitDone {
			t.Fatalf("%s: %s%s", name, got.err, want.err)
		}
		a, b := tablesOf(t, got.out), tablesOf(t, want.out)
		if len(a["what_if"]) < 5 {
			t.Errorf("%s: %v", name, a["what_if"])
		}
		delete(a, "what_if")
		if d := cmp.Diff(b, a); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// At a home of several walls the fact changes at each of them.
func TestWhatIfOfAHome(t *testing.T) {
	const head = "building_id,home_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,orientation\n"
	row := func(exposure string) string {
		return head + "N,H,500,brick_common,oceanic_wet," + exposure + ",joist_ends,N\nS,H,400,granite_rubble,oceanic_wet," + exposure + ",none,S\n"
	}
	got := call(t, t.Context(), "explain", write(t, "as-is.csv", row("severe")), "--building", "H", "--format", "csv", "--set", "building.exposure=sheltered")
	want := call(t, t.Context(), "explain", write(t, "changed.csv", row("sheltered")), "--building", "H", "--format", "csv")
	if got.code != exitDone || want.code != exitDone {
		t.Fatal(got.err, want.err)
	}
	a, b := tablesOf(t, got.out), tablesOf(t, want.out)
	if len(a["what_if"]) < 5 || len(a["walls"]) != 3 {
		t.Errorf("%v", a)
	}
	delete(a, "what_if")
	if d := cmp.Diff(b, a); d != "" {
		t.Error(d)
	}
}

// What-ifs stand beside the row as it is, each judged from the row alone.
func TestWhatIfsSideBySide(t *testing.T) {
	list := write(t, "a.csv", header+good)
	s := call(t, t.Context(), "explain", list, "--building", "B", "--strategy", "exterior_rigid", "--format", "csv", "--against", "building.wall_thickness_mm=900", "--against", "building.exposure=sheltered")
	if s.code != exitDone {
		t.Fatal(s.err)
	}
	tables, held := tablesOf(t, s.out), 0
	for i, change := range []string{"", "wall_thickness_mm=900", "exposure=sheltered"} {
		args := []string{"explain", list, "--building", "B", "--format", "csv"}
		if change != "" {
			args = append(args, "--set", "building."+change)
		}
		alone := tablesOf(t, call(t, t.Context(), args...).out)["choices"]
		at := slices.IndexFunc(alone, func(row []string) bool { return row[len(row)-1] == "exterior_rigid" })
		for _, row := range tables["what_if"] {
			if k := slices.Index(alone[0], row[0]); k >= 0 {
				held++
				if row[i+1] != alone[at][k] {
					t.Errorf("%s, %s: %q, alone %q", change, row[0], row[i+1], alone[at][k])
				}
			}
		}
	}
	if got := tables["what_if"][0]; len(got) != 4 || got[2] != "if wall_thickness_mm 900" || held < 9 {
		t.Errorf("%q, %d figures compared", got, held)
	}
}

// Who explains another strategy than the best is told so.
func TestExplainNamesTheBest(t *testing.T) {
	list := write(t, "a.csv", header+good)
	best := tablesOf(t, call(t, t.Context(), "explain", list, "--building", "A", "--format", "csv").out)["choices"]
	for i, row := range best[1:] {
		s := call(t, t.Context(), "explain", list, "--building", "A", "--strategy", row[len(row)-1])
		want := "Explained here is " + row[1] + "; the best is " + best[1][1] + "."
		if strings.Contains(strings.Join(strings.Fields(s.out), " "), want) != (i > 0) {
			t.Errorf("rank %d: %s", i+1, s.out)
		}
	}
}

// A fact that cannot be is refused by name and value, with what was expected; a
// screening takes none.
func TestWhatIfIsRefused(t *testing.T) {
	list := write(t, "a.csv", header+good)
	for fact, want := range map[string]string{
		"a_w_kg_m2_s05=9":    `a_w_kg_m2_s05 "9": the value is outside the accepted range 0.0001 to 2`,
		"a_w=0.01":           "use one of a_w_kg_m2_s05, a_w_kg_m2_h05",
		"storys=3":           `did you mean "storeys"?`,
		"exposure=windy":     "expected one of sheltered, moderate, severe, very_severe",
		"exposure=":          "exposure is required and cannot be blank",
		"building_id=C":      "names the row",
		"last_survey=1/2/03": "1/2/03",
		"salts":              "expected key=value",
	} {
		for _, flag := range []string{"--set", "--against"} {
			s := call(t, t.Context(), "explain", list, "--building", "A", flag, "building."+fact)
			if flag == "--against" && fact == "salts" {
				want = "expected building.NAME=VALUE"
			}
			if s.code != exitUsage || !strings.Contains(s.err, want) {
				t.Errorf("%s %s: exit code %d: %s", flag, fact, s.code, s.err)
			}
		}
	}
	for _, command := range []string{"screen", "check"} {
		if s := call(t, t.Context(), command, list, "--set", "building.salts=none"); s.code != exitUsage || !strings.Contains(s.err, "change the column salts in the inventory") {
			t.Errorf("%s: exit code %d: %s", command, s.code, s.err)
		}
	}
}

// Explain takes the rows that a screening takes: the second row of a wall is none.
func TestExplainLeavesOutRepeatedWalls(t *testing.T) {
	const wall = "500,brick_common,4c,moderate,none\n"
	list := write(t, "walls.csv", "building_id,home_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\nN,8,"+wall+"S,8,"+wall+"N,8,"+wall)
	s := call(t, t.Context(), "explain", list, "--building", "8", "--tier", "steady", "--format", "csv")
	if n := strings.Count(s.out, "\nwalls,N,"); s.code != exitDone || n != 1 {
		t.Errorf("exit code %d, wall N is shown %d times\n%s", s.code, n, s.out)
	}
}

// Stone and climate are named by their labels, not by ids.
func TestExplainUsesLabels(t *testing.T) {
	list := write(t, "one.csv", "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\nA,400,brick_common,oceanic_wet,severe,none\n")
	got := call(t, t.Context(), "explain", list, "--building", "A", "--format", "csv")
	facts := map[string]string{}
	for _, row := range tablesOf(t, got.out)["facts"] {
		facts[row[0]] = row[1]
	}
	if !strings.HasPrefix(facts["climate zone"], "Oceanic, Atlantic or west coast, wet, station ") || facts["stone"] == "" || strings.Contains(facts["stone"], "_") {
		t.Errorf("%v", facts)
	}
}
