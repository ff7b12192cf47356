package screen_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wallsift/ingest"
	"wallsift/screen"
)

// Three homes: one of two walls, the second of them in a worse place; one whose
// second row is bad; and a row that is a home of its own.
const wallsInventory = `building_id,home_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,wall_area_m2,protected_facade,orientation_deg,joint_condition
street,H1,350,brick_common,4c,sheltered,none,20,yes,0,sound
lone,,350,brick_common,4c,sheltered,none,50,no,0,sound
street,H2,350,brick_common,4c,sheltered,none,20,no,0,sound
yard,H1,350,brick_common,4c,very_severe,joist_ends,30,no,225,open
yard,H2,-5,brick_common,4c,sheltered,none,30,no,180,sound
`

func screenWalls(t *testing.T, inventory string) (*screened, map[string]screen.Row) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "walls.csv")
	if err := os.WriteFile(path, []byte(inventory), 0o600); err != nil {
		t.Fatal(err)
	}
	s := screenFiles(t, load(t, map[string]any{"run.tier": "steady"}), path)
	homes := map[string]screen.Row{}
	if err := s.run.Each(s.run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		kept := *row
		kept.Judgements, kept.Building.Extra = append([]screen.Judgement(nil), row.Judgements...), nil
		homes[row.Building.ID] = kept
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return s, homes
}

// A home is one building in every count, is judged as its worst wall, and sums
// what its walls have.
func TestHomeIsJudgedAsItsWorstWall(t *testing.T) {
	s, homes := screenWalls(t, wallsInventory)
	if len(homes) != 3 || s.run.Counts.Accepted != 3 || s.run.Counts.Walls != 3 {
		t.Fatalf("%d homes, counts %+v", len(homes), s.run.Counts)
	}
	h := homes["H1"]
	if len(h.Walls) != 2 || h.Building.Num[ingest.WallArea] != 50 {
		t.Fatalf("%d walls, %g m²", len(h.Walls), h.Building.Num[ingest.WallArea])
	}
	for i := range h.Judgements {
		j := &h.Judgements[i]
		street, yard := h.Walls[0].Under(j.Strategy), h.Walls[1].Under(j.Strategy)
		name := s.e.Choices()[j.Strategy].ID
		if j.Verdict < max(street.Verdict, yard.Verdict) {
			t.Errorf("%s: %v, street %v, yard %v", name, j.Verdict, street.Verdict, yard.Verdict)
		}
		if governs := h.Walls[j.Wall].Under(j.Strategy); governs.Typical != j.Typical || governs.Governing != j.Governing {
			t.Errorf("%s: the figures are not those of the wall that governs", name)
		}
		if j.Do != street.Do|yard.Do || j.Check != (street.Check|yard.Check)&^j.Do {
			t.Errorf("%s: the work is not that of both walls", name)
		}
		if want := (20*street.Saved + 30*yard.Saved) / 50; math.Abs(j.Saved-want) > 1e-9 {
			t.Errorf("%s: saves %g, want %g", name, j.Saved, want)
		}
	}
	// Only the street is protected, and it takes exterior insulation out for the home.
	for i := range h.Judgements {
		if j := &h.Judgements[i]; s.e.Choices()[j.Strategy].ID == "exterior_rigid" && (!j.Excluded || j.Wall != 0) {
			t.Errorf("exterior insulation: excluded %v, wall %d", j.Excluded, j.Wall)
		}
	}
}

// Where one measure for all does worse, each wall has its own: the street, protected,
// a lining, the yard exterior insulation. A home of which one measure is as good for
// both is not offered that.
func TestWallsThatDoBetterApart(t *testing.T) {
	s, homes := screenWalls(t, wallsInventory)
	h := homes["H1"]
	best := &h.Judgements[0]
	if s.e.Choices()[best.Strategy].ID != screen.WallByWall.ID || len(h.Judgements) != len(s.e.Strategies())+1 || len(s.run.Choices()) != len(s.e.Choices()) {
		t.Fatalf("best is %s of %d", s.e.Choices()[best.Strategy].ID, len(h.Judgements))
	}
	street, yard := &h.Walls[0].Judgements[0], &h.Walls[1].Judgements[0]
	if best.Verdict != max(street.Verdict, yard.Verdict) || best.Verdict >= h.Judgements[1].Verdict {
		t.Errorf("%v, street %v, yard %v, else %v", best.Verdict, street.Verdict, yard.Verdict, h.Judgements[1].Verdict)
	}
	if want := (20*street.Saved + 30*yard.Saved) / 50; math.Abs(best.Saved-want) > 1e-9 {
		t.Errorf("saves %g, want %g", best.Saved, want)
	}
	both := strings.ReplaceAll(wallsInventory, ",20,yes,", ",20,no,")
	if s, homes = screenWalls(t, both); s.e.Choices()[homes["H1"].Judgements[0].Strategy].ID != "exterior_rigid" || len(homes["H1"].Judgements) != len(s.e.Strategies()) || len(s.run.Choices()) != len(s.e.Strategies()) {
		t.Errorf("of an unprotected home the best is %s", s.e.Choices()[homes["H1"].Judgements[0].Strategy].ID)
	}
}

// A wall whose row was rejected is missed: the home's other walls do not speak for
// it. A home of one good row fares otherwise as that row alone.
func TestLostWallIsMissed(t *testing.T) {
	_, homes := screenWalls(t, wallsInventory)
	h, lone := homes["H2"], homes["lone"]
	if h.Lost != 1 {
		t.Fatalf("%d walls lost", h.Lost)
	}
	better := 0
	for i := range h.Judgements {
		if h.Judgements[i].Verdict < screen.SurveyFirst {
			t.Errorf("%v in spite of the wall that is missing", h.Judgements[i].Verdict)
		}
		if lone.Under(h.Judgements[i].Strategy).Verdict < screen.SurveyFirst {
			better++
		}
	}
	if better == 0 {
		t.Error("the check finds nothing: the same wall alone is suited for nothing")
	}
}

// A list with two rows a home (testdata/zwirnhagen/README.md): every home is there
// once, and only those of a rejected wall miss one.
func TestWallListHasHomes(t *testing.T) {
	const dir = "../testdata/zwirnhagen/"
	s := screenFiles(t, load(t, map[string]any{"run.tier": "steady"}, dir+"walls.yaml"), dir+"walls.csv")
	if c := s.run.Counts; c.Accepted != 60 || c.Walls != 117 || c.Rejected != 5 {
		t.Errorf("%+v", c)
	}
	lost := map[string]int{}
	if err := s.run.Each(s.run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		if row.Lost > 0 {
			lost[row.Building.ID] = len(row.Walls)
		} else if len(row.Walls) != 2 {
			t.Errorf("%s: %d walls", row.Building.ID, len(row.Walls))
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if len(lost) != 3 || lost["ZH-005"] != 1 || lost["ZH-013"] != 1 || lost["ZH-024"] != 1 {
		t.Errorf("walls left of the homes that miss one: %v", lost)
	}
}

// The order of the rows, and what else is in the list, change nothing for a home.
func TestHomeIsTheSameInAnyOrder(t *testing.T) {
	_, homes := screenWalls(t, wallsInventory)
	lines := strings.SplitAfter(wallsInventory, "\n")
	_, alone := screenWalls(t, lines[0]+lines[4]+lines[1])
	a, b := homes["H1"], alone["H1"]
	for i := range a.Judgements {
		if a.Judgements[i] != b.Judgements[i] {
			t.Errorf("%+v\n%+v", a.Judgements[i], b.Judgements[i])
		}
	}
	if a.InputsHash() != b.InputsHash() || a.InputsHash() == a.Walls[0].InputsHash() {
		t.Error("hashes of the facts")
	}
}
