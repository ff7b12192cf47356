package weatherfile

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// row reads a line of the table and reports whether to stop.
func (t *table) row() (stop bool) {
	if strings.HasPrefix(t.text, "#") {
		return false
	}
	t.cells = cut(t.text, t.mark, t.cells)
	if need := slices.Max(t.at[:]) + 1; len(t.cells) < need {
		return t.add(t.fail("", t.text, fmt.Sprintf("at least %d cells, got %d", need, len(t.cells)), "restore the row"))
	}
	if len(t.rows)+t.leap >= maxRows {
		t.add(t.fail("", t.text, fmt.Sprintf("at most %d years", maxYears), "give fewer years"))
		return true
	}
	if t.has(csvTime) {
		drop, stop := t.clock()
		if drop || stop {
			return stop
		}
	}
	for i := range t.data {
		if !t.has(i) {
			continue
		}
		cell := t.cells[t.at[i]]
		if t.decimal {
			cell = strings.Replace(cell, ",", ".", 1)
		}
		q := &csvColumns[i]
		v, want := q.parse(cell)
		if want != "" && t.add(t.fail(q.name, cell, want, "correct the value, or leave the cell blank")) {
			return true
		}
		t.data[i] = append(t.data[i], v)
	}
	t.rows = append(t.rows, int32(t.number))
	return false
}

var layouts = []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02T15:04:05Z07:00"}

// clock checks the time of a row against the one that must come and reports
// whether the row is of a leap day, or whether to stop.
func (t *table) clock() (drop, stop bool) {
	cell := t.cells[t.at[csvTime]]
	const fix = "give one row for every hour, by one clock without summer time"
	at, ok := parseTime(cell)
	if !ok {
		t.add(t.fail("time", cell, `a time like "2006-01-02 15:04"`, fix))
		return false, true
	}
	n := len(t.rows) + t.leap
	if n == 0 {
		t.late = at.Hour() == 1
		t.first = at
		if t.late {
			t.first = at.Add(-time.Hour)
			t.place.note("The first row is of 01:00: rows count as the hour that ends at their time.")
		}
		if t.first.YearDay() != 1 || t.first.Hour() != 0 || t.first.Minute() != 0 || t.first.Second() != 0 {
			t.add(t.fail("time", cell, "1 January, 00:00 (or 01:00 for the end of the hour)", "begin with a whole year"))
			return false, true
		}
	}
	want := t.first.Add(time.Duration(n) * time.Hour)
	begin := want
	if t.late {
		want = want.Add(time.Hour)
	}
	if !at.Equal(want) {
		t.add(t.fail("time", cell, want.Format(layouts[0]), fix))
		return false, true
	}
	if begin.Month() == time.February && begin.Day() == 29 {
		t.leap++
		return true, false
	}
	return false, false
}

// parseTime reads the wall clock of a time; an offset is ignored.
func parseTime(s string) (time.Time, bool) {
	for _, l := range layouts {
		if at, err := time.Parse(l, s); err == nil {
			return time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), at.Second(), 0, time.UTC), true
		}
	}
	return time.Time{}, false
}
