package report_test

import (
	"slices"
	"strings"
	"testing"

	"wallsift/screen/report"
)

// The thickest insulation that keeps the limits has one name for people, which is
// explained beside the first table that has it.
func TestAllowanceHasOneName(t *testing.T) {
	e, run := screened(t, demoCSV)
	trades, err := report.WriteWorks("", e, run)
	if err != nil {
		t.Fatal(err)
	}
	visits, err := report.NewVisits(e, run)
	if err != nil {
		t.Fatal(err)
	}
	tables, err := report.Overview(e, run, trades, visits, 3)
	if err != nil {
		t.Fatal(err)
	}
	explained, headed := 0, 0
	for _, table := range tables {
		explained += strings.Count(table.Note, report.AllowanceRule)
		if slices.Contains(table.Columns, "insulation allowance, mm") {
			if headed++; explained == 0 {
				t.Errorf("table %s stands before the explanation", table.Name)
			}
		}
	}
	if explained != 1 || headed != 1+len(run.Choices()) {
		t.Errorf("explained %d times, in the head of %d tables", explained, headed)
	}
	for name, rows := range map[string]*report.Rows{"allowance_mm": report.Ranking(e, run, true), "thickness_most_mm": report.Works(e, run)} {
		at := slices.IndexFunc(rows.Columns, func(c report.Column) bool { return c.Name == name })
		if c := rows.Columns[at]; c.Label != "Insulation allowance" || !strings.Contains(c.Help, report.AllowanceRule) {
			t.Errorf("%s is headed %q: %s", name, c.Label, c.Help)
		}
	}
}
