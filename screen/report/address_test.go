package report_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/screen/report"
)

const houses = `building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,Street,Town,Tenant name,Remarks
H1,510,brick_common,4c,moderate,none,12 Mill Lane,Wharf,A secret,"moved, ill"
H2,510,brick_common,4c,moderate,none,,Wharf,A secret,ill
H3,x,brick_common,4c,moderate,none,3 Low Row,,A secret,ill
`

// rankedBy screens houses under settings and returns the rows of ranking.csv and
// worklist.csv, and the notes.
func rankedBy(t *testing.T, flags map[string]any) (ranking, work [][]string, notes []string) {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "houses.csv")
	if err := os.WriteFile(path, []byte(houses), 0o600); err != nil {
		t.Fatal(err)
	}
	flags["run.tier"] = config.TierSteady
	l, err := config.Load(config.Inputs{Flags: flags})
	if err != nil {
		t.Fatal(err)
	}
	e, run := screenedBy(t, l, path)
	if err := report.WriteRanking(dir, e, run); err != nil {
		t.Fatal(err)
	}
	if _, err := report.WriteWorks(dir, e, run); err != nil {
		t.Fatal(err)
	}
	read := func(name string) [][]string {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	return read(report.RankingCSV), read(report.WorkListCSV), report.OwnColumns(&l.Config.Output, run.Source.Names())
}

// The address is what output.address names, its blank cells left out; it is never
// guessed, and a note says how to ask for it.
func TestAddressIsWhatIsNamed(t *testing.T) {
	want := map[string]string{"H1": "12 Mill Lane, Wharf", "H2": "Wharf"}
	ranking, work, notes := rankedBy(t, map[string]any{"output.address": "street, TOWN"})
	for _, rows := range [][][]string{ranking, work} {
		if rows[0][2] != "address" {
			t.Fatalf("the address does not follow the id: %q", rows[0])
		}
		for _, row := range rows[1:] {
			if row[2] != want[row[1]] {
				t.Errorf("%s is at %q, expected %q", row[1], row[2], want[row[1]])
			}
		}
	}
	if all := strings.Join(notes, "\n"); strings.Contains(all, "address") {
		t.Errorf("a note on an address that is there: %s", all)
	}
	ranking, work, notes = rankedBy(t, map[string]any{})
	if slices.Contains(ranking[0], "address") || slices.Contains(work[0], "address") || len(notes) == 0 || !strings.Contains(notes[0], "output.address") {
		t.Errorf("an address that nobody asked for, or no note: %q, %q", work[0], notes)
	}
	if _, _, notes = rankedBy(t, map[string]any{"output.address": "Stret"}); len(notes) == 0 || !strings.Contains(notes[0], `did you mean "Street"?`) {
		t.Errorf("notes on a slip: %q", notes)
	}
}

// Columns that may hold personal data are named until they are withheld.
func TestPersonalColumnsAreNamed(t *testing.T) {
	_, _, notes := rankedBy(t, map[string]any{"output.address": "Street"})
	if len(notes) != 1 || !strings.Contains(notes[0], "written out: Tenant name, Remarks; leave them out with output.withhold") {
		t.Errorf("notes: %q", notes)
	}
	_, _, notes = rankedBy(t, map[string]any{"output.address": "Street", "output.withhold": "tenant name, remarks"})
	if len(notes) != 0 {
		t.Errorf("notes though both are withheld: %q", notes)
	}
	_, _, notes = rankedBy(t, map[string]any{"output.address": "Street", "output.personal": ""})
	if len(notes) != 0 {
		t.Errorf("notes without words: %q", notes)
	}
}
