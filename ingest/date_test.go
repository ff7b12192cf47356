package ingest

import (
	"strings"
	"testing"
	"time"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"pgregory.net/rapid"
)

// A cell is read in the order that the header names and in no other. Year
// first with hyphens is ISO 8601; the other orders are common practice, no
// source.
func TestDates(t *testing.T) {
	const bad = "!"
	for header, cells := range map[string]map[string]string{
		"last_survey": {
			"2019-04-30": "2019-04-30", "2019-04-30T12:30:00Z": "2019-04-30", "2019-04-30 12:30": "2019-04-30", "2020-02-29": "2020-02-29",
			"": "", "Unknown": "", "2019-04-30T12:30:00+02:00": "2019-04-30", "2019-04-30 00:00:00.000": "2019-04-30",
			"30/04/2019": bad, "2019-02-29": bad, "2019-4-3": bad, "1066-10-14": bad, "2019": bad, "2019-04-30Tsoon": bad, "20190430": bad, "2019-04-30-05": bad,
		},
		"last_survey_dmy": {
			"22/06/2022": "2022-06-22", "3/4/2022": "2022-04-03", "03.04.2022": "2022-04-03", "3. 4. 2022": "2022-04-03", "03-04-2022": "2022-04-03",
			"22/06/2022 00:00": "2022-06-22", "22/06/2022 00:00:00": "2022-06-22", "2022-04-03": "2022-04-03", "2022-04-03T10:00:00Z": "2022-04-03", "": "", "unknown": "",
			"06/22/2022": bad, "22/06/22": bad, "22/06-2022": bad, "31/04/2022": bad, "29.02.2023": bad, "2022/04/03": bad, "06.2022": bad, "44734": bad,
			"22 Jun 2022": bad, "22/06/2022 soon": bad, "22/06/1622": bad, "0/1/2022": bad, "1/0/2022": bad, "22/06/022": bad,
		},
		"Last survey (MM/DD/YYYY)": {
			"06/22/2022": "2022-06-22", "3/4/2022": "2022-03-04", "6/22/2022 12:00:00 AM": "2022-06-22", "6/22/2022 1:05 pm": "2022-06-22",
			"22/06/2022": bad, "6/22/22": bad, "02/29/2023": bad,
		},
		"last_survey_ymd": {"2019-04-30": "2019-04-30", "30/04/2019": bad},
	} {
		for cell, want := range cells {
			res := readCell(t, header, cell)
			switch {
			case want == bad && len(res.rejects) != 1, want != bad && len(res.rejects) > 0:
				t.Errorf("%s %q: rejects %+v", header, cell, res.rejects)
			case want != bad && res.rows[0].Text[LastSurvey] != want:
				t.Errorf("%s %q: got %q", header, cell, res.rows[0].Text[LastSurvey])
			case want == bad && (res.rejects[0].Column != header || res.rejects[0].Value != cell || res.rejects[0].Line != 2 || res.rejects[0].Fix == ""):
				t.Errorf("%s %q: reject %+v", header, cell, res.rejects[0])
			}
		}
	}
}

// What is wrong says what was expected, and how the whole column is read
// otherwise.
func TestDateRejectsSayTheWayOut(t *testing.T) {
	for _, c := range []struct{ header, cell, reason, fix string }{
		{"last_survey", "22/06/2022", "year-month-day was expected, such as 2019-04-30", "map it to last_survey_dmy or last_survey_mdy"},
		{"last_survey_dmy", "06/22/2022", "there is no month 22; a date as day, month, year was expected, such as 30/04/2019", "map it to last_survey_mdy"},
		{"last_survey_mdy", "22/06/2022", "there is no month 22; a date as month, day, year", "map it to last_survey_dmy"},
		{"last_survey_dmy", "31/04/2022", "there is no such day", "leave the cell blank"},
		{"last_survey_dmy", "22/06/22", "two digits", "which century is meant is not guessed"},
	} {
		r := onlyReject(t, readCell(t, c.header, c.cell))
		if !strings.Contains(r.Reason, c.reason) || !strings.Contains(r.Fix, c.fix) {
			t.Errorf("%s %q: %s; %s", c.header, c.cell, r.Reason, r.Fix)
		}
	}
}

// Every day there is comes back the same in each order, written as the order
// says by Go's own formatter.
func TestDatesComeBack(t *testing.T) {
	layouts := map[int][]string{0: {"2006-01-02"}, 1: {"02/01/2006", "2.1.2006", "2. 1. 2006", "2-1-2006"}, 2: {"01/02/2006", "1/2/2006", "01/02/2006 3:04:05 PM"}}
	rapid.Check(t, func(t *rapid.T) {
		day := time.Date(1800, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 146000).Draw(t, "days"))
		order := rapid.IntRange(0, 2).Draw(t, "order")
		layout := rapid.SampledFrom(layouts[order]).Draw(t, "layout")
		if got, p := parseDate(day.Format(layout), order); p.bad() || got != day.Format(time.DateOnly) {
			t.Fatalf("%q in order %d: %q %v", day.Format(layout), order, got, p)
		}
	})
}

// A column of dates in Parquet is a date already, whatever order it is mapped
// with.
func TestParquetDatesHaveNoOrder(t *testing.T) {
	h, rows := splitRows(table(requiredHeader, row("a")))
	text := textRecord(h, rows)
	days := array.NewDate32Builder(memory.DefaultAllocator)
	days.Append(arrow.Date32FromTime(time.Date(2022, 4, 3, 0, 0, 0, 0, time.UTC)))
	schema := arrow.NewSchema(append(text.Schema().Fields(), arrow.Field{Name: "seen", Type: arrow.FixedWidthTypes.Date32}), nil)
	rec := array.NewRecord(schema, append(text.Columns(), days.NewArray()), 1)
	opt := testOptions
	opt.Columns = map[string][]string{"Seen": {"last_survey_mdy"}}
	res := readAll(t, opt, writeBytes(t, "in.parquet", parquetBytes(t, rec, 10)))
	if len(res.rejects) > 0 || res.rows[0].Text[LastSurvey] != "2022-04-03" {
		t.Errorf("%+v", res)
	}
}
