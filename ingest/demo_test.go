package ingest_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"wallsift/ingest"
)

// The bad rows of the demo by their line in the CSV file, as testdata/README.md
// lists their faults: these are rejected, no others, and without the two that are
// ragged the Parquet file holds the same rows.
func TestDemoRejects(t *testing.T) {
	type fault struct {
		line          int64
		column, value string
	}
	ragged := []fault{{47, "", ""}, {286, "", ""}}
	faults := []fault{
		{68, "last_survey", "22/06/2022"}, {106, "building_id", "HX-0102"}, {123, "climate_zone", "5A/4A"}, {188, "climate_zone", "oceanic_wett"},
		{213, "stone_type", "granit ruble"}, {214, "embedded_timber", ""}, {215, "exposure", "unknown"}, {219, "rainwater_goods", "leaking at back"},
		{234, "wall_thickness_mm", "35"}, {252, "wall_thickness_mm", ""}, {272, "wall_thickness_mm", "see file"},
		{288, "stone_type", "local freestone (see file)"}, {311, "building_id", "HX-0309"}, {319, "exposure", ""},
		{330, "wall_thickness_mm", "45"}, {388, "building_id", "HX-0383"}, {397, "wall_thickness_mm", "0"},
	}
	inCSV := append(slices.Clone(faults), ragged...)
	slices.SortFunc(inCSV, func(a, b fault) int { return int(a.line - b.line) })
	var inParquet []fault
	for _, f := range faults {
		row := f.line - 1 // the header is none
		for _, r := range ragged {
			if f.line > r.line {
				row--
			}
		}
		inParquet = append(inParquet, fault{row, f.column, strings.TrimPrefix(f.value, "see file")}) // no number is null
	}
	homes := map[string]map[string]ingest.Building{}
	for name, want := range map[string][]fault{"../testdata/demo.csv": inCSV, "../testdata/demo.parquet": inParquet} {
		buildings, rejects, src := readAll(t, name)
		var got []fault
		for _, r := range rejects {
			got = append(got, fault{r.Line, r.Column, r.Value})
		}
		if d := cmp.Diff(want, got, cmp.AllowUnexported(fault{})); d != "" {
			t.Errorf("%s, rejects (-want +got):\n%s", name, d)
		}
		if own := src.Names().Extras; !slices.Equal(own, []string{"asset_ref", "street", "tenancy"}) {
			t.Errorf("%s: own columns %q", name, own)
		}
		homes[name] = buildings
	}
	where := cmpopts.IgnoreFields(ingest.Building{}, "File", "Line")
	if d := cmp.Diff(homes["../testdata/demo.csv"], homes["../testdata/demo.parquet"], cmpopts.EquateNaNs(), where); d != "" {
		t.Errorf("the files hold other homes (-csv +parquet):\n%s", d)
	}
}
