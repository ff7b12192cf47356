package workbook_test

import (
	"slices"
	"strings"
	"testing"

	"wallsift/ingest"
	"wallsift/screen/report"
)

// The sheet has the columns of the survey order in words; a run that sampled
// nothing says so below an empty table.
func TestSurveySheet(t *testing.T) {
	r := ofDemo(t)
	v, err := report.NewVisits(r.input.Engine, r.input.Run)
	if err != nil {
		t.Fatal(err)
	}
	got := sheets(t, r.path())["Survey"]
	if len(got) == 0 || len(got[0]) != len(v.Fields()) {
		t.Fatalf("the sheet is %q", got)
	}
	for i, f := range v.Fields() {
		if got[0][i] != f.Heading() {
			t.Errorf("column %d is headed %q, expected %q", i, got[0][i], f.Heading())
		}
		if f.Name == "strategy" || f.Name == "fact_1" {
			t.Errorf("ids of %s stand beside their words", f.Name)
		}
	}
	if !slices.Contains(got[0], "street") {
		t.Errorf("no address in %q", got[0])
	}
	var below string
	for _, row := range got[1:] {
		below += row[0]
	}
	if !strings.HasPrefix(below, "none"+v.Note()) || !strings.Contains(below, "Not sampled") || !strings.HasSuffix(below, r.input.Manifest.Caution) {
		t.Errorf("below the header: %q", below)
	}
	if err := v.Each(func(b *ingest.Building, _ []any) error {
		t.Errorf("%s is listed, and nothing was sampled", b.ID)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}
