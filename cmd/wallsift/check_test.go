package main

import (
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
)

// A check finds what a screening finds, to the byte, and ends with its code.
func TestCheckAgreesWithScreen(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	const wall = "500,brick_common,4c,moderate,none\n"
	const walls = "building_id,home_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\nN,7," + wall + "S,7," + wall + "N,8," + wall + "N,8," + wall
	for name, args := range map[string][]string{
		"demo":              {demo},
		"demo as Parquet":   {"../../testdata/demo.parquet"},
		"too many rejected": {demo, "--set", "run.max_rejected_share=0.01"},
		"nothing is good":   {write(t, "none.csv", header+"A,1,x,y,z,w\n")},
		"header only":       {write(t, "empty.csv", header)},
		"a column missing":  {write(t, "less.csv", "building_id,stone_type\nA,granite\n")},
		"one file broken":   {write(t, "a.csv", header+good), write(t, "b.csv", "building_id,stone_type\nA,granite\n")},
		"doubled ids":       {write(t, "c.csv", header+good+good)},
		"walls of homes":    {write(t, "walls.csv", walls)},
		"a home and a row":  {write(t, "home.csv", walls+"7,,500,brick_common,4c,moderate,none\n")},
		"no such file":      {"nowhere.csv"},
		"bad setting":       {demo, "--set", "run.sed=1"},
	} {
		t.Run(name, func(t *testing.T) {
			a, b := t.TempDir(), t.TempDir()
			check := call(t, t.Context(), append([]string{"check", "--out", a}, args...)...)
			screen := call(t, t.Context(), append([]string{"screen", "--out", b}, args...)...)
			if check.code != screen.code {
				t.Errorf("exit code %d, of screen %d\n%s", check.code, screen.code, check.err)
			}
			got, want := files(t, a)["rejects.csv"], files(t, b)["rejects.csv"]
			if got != want {
				t.Errorf("rejects differ:\n%s\nof screen:\n%s", got, want)
			}
			if check.code == exitUsage {
				return
			}
			if n := len(files(t, a)); n != 1 {
				t.Errorf("%d files in the folder", n)
			}
		})
	}
}

func TestCheckNamesWhatItFound(t *testing.T) {
	list := write(t, "own.csv", "Asset,Wall thickness (inches),stone_type,climate_zone,exposure,embedded_timber,Facing,Note,humidity class\n"+
		"A,20,granite_rubble,4c,moderate,none,NE,x,3\nB,18,granite_rubble,4c,moderate,unknown,,y,\nC,18,granit_rubble,4c,moderate,unknown,,y,\n")
	mine := write(t, "own.yaml", `input:
  columns: [{from: "ASSET", to: building_id}, {from: "Facing", to: orientation}]
`)
	s := call(t, t.Context(), "check", "--config", mine, "--format", "csv", list, "--set", "run.max_rejected_share=0.5")
	if s.code != exitDone {
		t.Fatal(s.err)
	}
	rows := map[string][]string{}
	r := csv.NewReader(strings.NewReader(s.out))
	r.FieldsPerRecord = -1
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, rec := range all {
		rows[rec[0]+" "+rec[1]] = rec[2:]
	}
	for key, want := range map[string]string{
		"files " + list:           "2 1",
		"used building_id":        "Asset 2 100",
		"used wall_thickness":     "Wall thickness (inches) 2 100",
		"used orientation":        "Facing 1 50",
		"used humidity_class":     "humidity class 1 50",
		"used embedded_timber":    "embedded_timber 1 50",
		"missing orientation":     "1 50 Facing widens the spread",
		"missing salts":           "2 100 no such column to investigate",
		"missing drain_outlet":    "2 100 no such column survey first for: Drained cavity",
		"own Note":                "",
		"rejects " + list:         `4 C stone_type granit_rubble unknown stone_type did you mean "granite_rubble"`,
		"missing wall_area":       "2 100 no such column savings are given for each m2 only",
		"missing last_survey":     "2 100 no such column stays empty",
		"used climate_zone":       "climate_zone 2 100",
		"used exposure":           "exposure 2 100",
		"missing inner_finish":    "2 100 no such column judged as",
		"missing outer_finish":    "2 100 no such column widens the spread",
		"missing ground_moisture": "2 100 no such column to investigate: Lower the ground",
	} {
		got, ok := rows[key]
		if !ok || !strings.HasPrefix(strings.Join(got, " "), want) {
			t.Errorf("%s: %q, expected %q", key, strings.Join(got, " "), want)
		}
	}
	for _, key := range []string{"missing wall_thickness", "used salts", "missing building_id", "own Facing"} {
		if _, there := rows[key]; there {
			t.Errorf("a row for %s", key)
		}
	}
}

func TestCheckPrintsRejectsUnlessTheyGoToAFile(t *testing.T) {
	s := call(t, t.Context(), "check", demo, "--top", "4", "--format", "csv")
	if n := strings.Count(s.out, "\nrejects,"); n != 4 {
		t.Errorf("%d rejects printed", n)
	}
	if s := call(t, t.Context(), "check", demo, "--top", "4"); !strings.Contains(s.out, "first 4") {
		t.Error("it is not said that there are more")
	}
	s = call(t, t.Context(), "check", demo, "--top", "0", "--format", "csv")
	if n := strings.Count(s.out, "\nrejects,"); n != 19 { // testdata/README.md
		t.Errorf("%d rejects printed, 19 rows are bad", n)
	}
	if s = call(t, t.Context(), "check", demo, "--out", t.TempDir()); strings.Contains(s.out, "Rejected") {
		t.Error("rejects are printed as well")
	}
}

func TestCheckFormatsParse(t *testing.T) {
	for format, check := range map[string]func(*testing.T, string) int{"json": parseJSON, "csv": parseCSV, "markdown": parseMarkdown, "table": parseTable} {
		s := call(t, t.Context(), "check", demo, "--format", format)
		if s.code != exitDone || check(t, s.out) < 40 {
			t.Errorf("%s: exit code %d, %s", format, s.code, s.err)
		}
	}
}

func TestStoppedCheckLeavesTheLastRejects(t *testing.T) {
	dir := t.TempDir()
	call(t, t.Context(), "check", demo, "--out", dir)
	before := files(t, dir)
	stopsWhileWaiting(t, "check", "-", "--out", dir)
	if after := files(t, dir); len(after) != 1 || after["rejects.csv"] != before["rejects.csv"] {
		t.Errorf("the folder changed: %d files", len(after))
	}
}

func TestCheckLog(t *testing.T) {
	s := call(t, t.Context(), "check", demo, "--log", "json")
	if s.code != exitDone {
		t.Fatal(s.err)
	}
	seen := map[string]map[string]any{}
	for line := range strings.Lines(s.err) {
		var event map[string]any
		if err := json.Unmarshal([]byte(line), &event); err != nil {
			t.Fatalf("%v: %s", err, line)
		}
		seen[event["msg"].(string)] = event
	}
	if e := seen["started"]; e["command"] != "check" {
		t.Errorf("%v", e)
	}
	if e := seen["input opened"]; e["file"] != demo || e["bytes"].(float64) < 1000 {
		t.Errorf("%v", e)
	}
	if e := seen["rejected"]; e["rows"] != 19.0 || e["problems_by_column"].(map[string]any)["stone_type"] != 2.0 {
		t.Errorf("%v", e)
	}
	if e := seen["done"]; e["buildings"] != 384.0 || e["exit_code"] != 0.0 || e["seconds"].(float64) <= 0 {
		t.Errorf("%v", e)
	}
	if s := call(t, t.Context(), "check", demo, "--log", "text"); !strings.Contains(s.err, "msg=done buildings=384") {
		t.Error(s.err)
	}
	if s := call(t, t.Context(), "check", demo, "--log", "xml"); s.code != exitUsage || !strings.Contains(s.err, "text, json") {
		t.Error(s.err)
	}
}
