package ingest

import (
	"slices"
	"strings"
	"testing"
)

// A column "wall" that says stone and coat at once fills both, each through
// the words of its own field.
var wallOptions = func() Options {
	opt := testOptions
	opt.Columns = map[string][]string{"Wall": {"stone_type", "outer_finish"}, "Seen": {"last_survey_dmy"}}
	opt.Aliases = map[string]map[string]string{
		"stone_type":   {"Fair brick": "brick_soft", "Brick, rendered": "brick_soft", "Granite": "granite"},
		"outer_finish": {"Fair brick": "bare", "Brick, rendered": "lime_render", "Granite": "unknown"},
	}
	return opt
}()

const wallHeader = "building_id;wall_thickness_mm;Wall;climate_zone;exposure;embedded_timber;Seen"

func TestOneColumnFillsTwo(t *testing.T) {
	in := table(wallHeader, "a;450;Fair brick;4A;severe;none;03.04.2022", "b;450;brick, RENDERED;4A;severe;none;", "c;450;granite;4A;severe;none;")
	h, rows := splitRows(strings.NewReplacer(", ", "~", ";", ",").Replace(in))
	for _, r := range rows {
		r[2] = strings.ReplaceAll(r[2], "~", ", ")
	}
	for name, path := range map[string]string{
		"CSV":     writeFile(t, "in.csv", in),
		"Parquet": writeBytes(t, "in.parquet", parquetBytes(t, textRecord(h, rows), 2)),
	} {
		res := readAll(t, wallOptions, path)
		if len(res.rejects) > 0 || len(res.rows) != 3 || len(res.extras) > 0 {
			t.Fatalf("%s: %+v", name, res)
		}
		for i, want := range []struct{ stone, finish string }{{"brick_soft", "bare"}, {"brick_soft", "lime_render"}, {"granite", "unknown"}} {
			b := res.rows[i]
			if got := OuterFinish.Levels()[b.Cat[OuterFinish]]; b.Stone != want.stone || got != want.finish {
				t.Errorf("%s %s: %s, %s", name, b.ID, b.Stone, got)
			}
		}
		if res.rows[0].Text[LastSurvey] != "2022-04-03" {
			t.Errorf("%s: survey %q", name, res.rows[0].Text[LastSurvey])
		}
	}
}

// A word that one of the two fields does not know is rejected for that field.
func TestOneColumnFillsTwoRejects(t *testing.T) {
	res := readText(t, wallOptions, table(wallHeader, "a;450;sandstone_porous;4A;severe;none;", "b;450;straw;4A;severe;none;"))
	var got []string
	for _, r := range res.rejects {
		got = append(got, r.Known+" "+r.Column+" "+r.Value+" "+strings.Fields(r.Reason)[1])
	}
	if want := []string{"a Wall sandstone_porous outer_finish,", "b Wall straw stone_type,", "b Wall straw outer_finish,"}; !slices.Equal(got, want) {
		t.Errorf("rejects %q, expected %q", got, want)
	}
}

func TestHeadersThatColumnsAreReadFrom(t *testing.T) {
	src, err := Open([]string{writeFile(t, "in.csv", table(wallHeader, "a;450;Fair brick;4A;severe;none;"))}, wallOptions)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := src.Next(t.Context()); err != nil {
		t.Fatal(err)
	}
	known := 0
	for _, c := range Columns() {
		known += len(src.ReadFrom(c.Name))
	}
	for name, want := range map[string]string{"stone_type": "Wall", "outer_finish": "Wall", "last_survey": "Seen", "wall_thickness": "wall_thickness_mm", "height": ""} {
		if got := strings.Join(src.ReadFrom(name), " "); got != want || known != 8 {
			t.Errorf("%s is read from %q, expected %q; %d columns are known", name, got, want, known)
		}
	}
}

func TestMappingsThatContradict(t *testing.T) {
	for _, c := range []struct {
		columns map[string][]string
		err     string
	}{
		{map[string][]string{"Wall": {"stone_type", "-"}}, "keep one of the two"},
		{map[string][]string{"Tall": {"height_m", "height_ft"}}, "in two ways"},
		{map[string][]string{"Seen": {"last_survey_dmy", "last_survey_mdy"}}, "in two ways"},
		{map[string][]string{"Wall type": {"stone_type"}, "wall-type": {"outer_finish"}}, "spell both alike"},
		{map[string][]string{"?!": {"stone_type"}}, "no letter or digit"},
	} {
		opt := testOptions
		opt.Columns = c.columns
		if _, err := Open([]string{"-"}, opt); err == nil || !strings.Contains(err.Error(), c.err) {
			t.Errorf("%v: %v", c.columns, err)
		}
	}
}
