package ingest_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
)

const wrzeciodom = "../testdata/wrzeciodom/register"

// readAll returns what a run sees of a list, by the default tables and a file of
// its own, if any: buildings with an id of their own, and rejects, the doubled ids
// among them.
func readAll(t *testing.T, list string, files ...string) (map[string]ingest.Building, []ingest.Reject, *ingest.Source) {
	t.Helper()
	l, err := config.Load(config.Inputs{Files: files})
	if err != nil {
		t.Fatal(err)
	}
	opt := ingest.Options{Columns: l.Config.Input.ColumnMap(), Aliases: l.Config.Input.AliasMap(), BatchRows: 50}
	for id, m := range l.Config.Materials {
		if m.IsMasonry() {
			opt.Stones = append(opt.Stones, ingest.Term{ID: id, Label: m.Label})
		}
	}
	for id, z := range l.Config.Zones {
		opt.Zones = append(opt.Zones, ingest.Term{ID: id, Label: z.Label})
	}
	src, err := ingest.Open([]string{list}, opt)
	if err != nil {
		t.Fatal(err)
	}
	seen := ingest.NewSeen(src)
	buildings := map[string]ingest.Building{}
	var rejects []ingest.Reject
	for {
		batch, err := src.Next(context.Background())
		if errors.Is(err, io.EOF) {
			slices.SortStableFunc(rejects, func(a, b ingest.Reject) int { return int(a.Line - b.Line) })
			return buildings, rejects, src
		}
		if err != nil {
			t.Fatal(err)
		}
		rows, bad := batch.Decode()
		for i := range rows {
			if again, twice := seen.Check(&rows[i]); twice {
				bad = append(bad, again)
				continue
			}
			buildings[rows[i].ID] = rows[i]
		}
		rejects = append(rejects, bad...)
	}
}

func readWrzeciodom(t *testing.T) (map[string]ingest.Building, []ingest.Reject, *ingest.Source) {
	t.Helper()
	return readAll(t, wrzeciodom+".csv", wrzeciodom+".yaml")
}

// The faults were put in by hand; testdata/wrzeciodom/README.md lists them.
func TestWrzeciodomRejects(t *testing.T) {
	buildings, rejects, _ := readWrzeciodom(t)
	want := []struct {
		line               int64
		column, value, why string
	}{
		{1, "", "Rejestr budynków murowanych gminy Wrzeciodom, stan na 31.12.2024;;;;;;;;;;;;;;;…", "above the header"},
		{21, "Gr. muru [cm]", "5100", "outside the accepted range 5 to 300 cm"},
		{33, "Ost. przegląd", "31.04.2021", "no such day"},
		{48, "Gr. muru [cm]", "2,5", "outside the accepted range 5 to 300 cm"},
		{62, "", "", "none of the required columns is filled"},
		{66, "Osiedle", "", "blank, and climate_zone is required"},
		{67, "Osiedle", "", "blank, and climate_zone is required"},
		{78, "Gr. muru [cm]", "51/38", "more than one"},
		{93, "Ost. przegląd", "12.05.98", "two digits"},
		{100, "building_id", "WG-0123", "first seen on line 16"},
		{106, "Ost. przegląd", "06/22/2022", "no month 22"},
		{116, "Adres", "", "text follows a closing quote"},
		{125, "Typ muru", "CX", "unknown stone_type"},
		{125, "Typ muru", "CX", "unknown outer_finish"},
		{138, "Strop", "", "blank, and embedded_timber is required"},
		{145, "Pow. ścian [m2]", "-35,0", "negative"},
		{150, "Położenie", "lu\ufffdna", "byte order mark"},
		{156, "N [°]", "473,112", "outside the accepted range -90 to 90 deg"},
		{165, "Położenie", "?", "unknown exposure"},
		{175, "", "", "too few cells: 19, the header has 28"},
		{186, "building_id", "WG-0455", "first seen on line 185"},
		{214, "", "", "none of the required columns is filled"},
	}
	for i, r := range rejects {
		if i < len(want) {
			w := want[i]
			if r.Line == w.line && r.Column == w.column && r.Value == w.value && strings.Contains(r.Reason, w.why) && r.Fix != "" && !r.Whole {
				continue
			}
			t.Errorf("reject %+v, expected %+v", r, w)
			continue
		}
		t.Errorf("one more reject: %+v", r)
	}
	if len(rejects) < len(want) {
		t.Errorf("no reject for %+v", want[len(rejects):])
	}
	if len(buildings) != 191 {
		t.Errorf("%d buildings, expected 208 and the doubled row less 18 that are bad", len(buildings))
	}
}

// What the rows say, converted by hand from the lines of the register.
func TestWrzeciodomIsReadAsWritten(t *testing.T) {
	buildings, _, src := readWrzeciodom(t)
	for _, c := range []struct{ id, says string }{
		// 3;WG-0105;…;Famuły;famuła;1890;CN;50,5;zwarta;b.d.;…;wypł.;wap.;pęk.;…;3;173,3;223;węgiel
		{"WG-0105", "brick_common bare 0.505 sheltered unknown unknown open lime_plaster cracked storeys 3 area 173.3 facing NaN survey  group Famuły"},
		// 2;WG-0103;…;CT;51,5;zwarta;drewn.;…;pn.-wsch.;3;;264;;05.03.2022
		{"WG-0103", "brick_common lime_render 0.515 sheltered joist_ends unknown unknown lime_plaster unknown storeys 3 area NaN facing 45 survey 2022-03-05 group Famuły"},
	} {
		b := buildings[c.id]
		word := func(k ingest.Category) string { return k.Levels()[b.Cat[k]] }
		got := fmt.Sprintf("%s %s %v %s %s %s %s %s %s storeys %v area %v facing %v survey %s group %s", b.Stone, word(ingest.OuterFinish), b.Num[ingest.WallThickness],
			word(ingest.Exposure), word(ingest.EmbeddedTimber), word(ingest.ProtectedFacade), word(ingest.JointCondition), word(ingest.InnerFinish), word(ingest.InnerCondition),
			b.Num[ingest.Storeys], b.Num[ingest.WallArea], b.Num[ingest.Orientation], b.Text[ingest.LastSurvey], b.Text[ingest.GroupKey])
		if got != c.says {
			t.Errorf("%s:\n%s, expected\n%s", c.id, got, c.says)
		}
	}
	var bricks, thousands, zones, iso int
	for _, b := range buildings {
		if x := b.Num[ingest.WallThickness]; math.IsNaN(x) || x < 0.2 || x > 1 {
			t.Errorf("%s: thickness %v m", b.ID, x)
		}
		if slices.Contains([]float64{0.25, 0.38, 0.51, 0.64}, math.Round(b.Num[ingest.WallThickness]*1e6)/1e6) {
			bricks++
		}
		if b.Num[ingest.WallArea] >= 1000 {
			thousands++
		}
		if b.Zone == "6a" {
			zones++
		}
		if b.Text[ingest.LastSurvey] == "2022-06-03" {
			iso++
		}
	}
	if bricks < 16 || thousands == 0 || zones != len(buildings) || iso != 1 {
		t.Errorf("%d walls of whole and half bricks, %d areas of a thousand and more, %d in zone 6a, %d surveys on 2022-06-03", bricks, thousands, zones, iso)
	}
	extras := src.Names().Extras
	if want := []string{"Lp.", "Adres", "Rodzaj", "Rok bud.", "Nr rej.", "Uwagi", "uwagi (2)"}; !slices.Equal(extras, want) {
		t.Fatalf("own columns %q, expected %q", extras, want)
	}
	both := 0
	for _, b := range buildings {
		if b.Extra[5] != "" {
			both |= 1
		}
		if b.Extra[6] != "" {
			both |= 2
		}
	}
	if both != 3 {
		t.Error("one of the two columns of remarks is empty")
	}
}
