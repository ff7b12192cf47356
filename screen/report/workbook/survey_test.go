package workbook_test

import (
	"strings"
	"testing"

	"wallsift/ingest"
	"wallsift/screen/report"
)

// The sheet has the columns of the survey order in words; a run that drew
// nothing says so below an empty table.
func TestSurveySheet(t *testing.T) {
	r := ofDemo(t)
	v := r.input.Visits.Rows(true)
	got := sheets(t, r.path())["Survey"]
	for _, f := range v.Columns {
		if f.Brief && column(got, f.Heading()) < 0 {
			t.Errorf("no column is headed %q", f.Heading())
		}
		if f.Name == "strategy" || f.Name == "fact_1" {
			t.Errorf("ids of %s stand beside their words", f.Name)
		}
	}
	if got[0][0] != "Building" || got[0][1] != "Address" {
		t.Errorf("id and address are not first in %q", got[0])
	}
	var below string
	for _, row := range got[1:] {
		below += row[0]
	}
	if below != "none"+v.Note || !strings.Contains(below, "this run did not do") {
		t.Errorf("below the header: %q", below)
	}
	if err := v.Each(report.View{}, func(b *ingest.Building, _ []any) error {
		t.Errorf("%s is listed, and nothing was drawn", b.ID)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}
