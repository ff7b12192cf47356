package ingest

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// Orders in which a date column is written. They stand where a measure has its
// unit: 03/04/2022 says nothing until the header says which part is the month.
// The word for index i of Column.Units is spelled out in dateOrders[i].
var (
	orderYMD = Unit{"ymd", 1, []string{"yyyymmdd", "yearmonthday"}}
	orderDMY = Unit{"dmy", 1, []string{"ddmmyyyy", "daymonthyear"}}
	orderMDY = Unit{"mdy", 1, []string{"mmddyyyy", "monthdayyear"}}
)

// dateOrder says where the parts of a date stand among the three numbers of a
// cell.
type dateOrder struct {
	year, month, day int
	words, example   string
}

var dateOrders = []dateOrder{
	{0, 1, 2, "year-month-day", "2019-04-30"},
	{2, 1, 0, "day, month, year", "30/04/2019"},
	{2, 0, 1, "month, day, year", "04/30/2019"},
}

// threeNumbers is a date in digits with one kind of separator, blanks around it
// allowed ("30. 4. 2019"), and the time of day that databases and spreadsheets
// put behind it.
var threeNumbers = regexp.MustCompile(`^(\d{1,4}) *([./-]) *(\d{1,4}) *([./-]) *(\d{1,4})` +
	`(?:[ T]+[0-2]?\d:[0-5]\d(?::[0-5]\d(?:\.\d+)?)?(?: ?[AaPp][Mm])?(?:Z|[+-]\d\d:?\d\d)?)?$`)

// parseDate reads a calendar date, alone or before a time of day, and returns
// it as ISO 8601 without the time. order is an index into dateOrders. A date
// with its year in front is read as ISO 8601 whatever the order, because it
// cannot be meant otherwise and Parquet columns of dates arrive so. All else
// keeps to the order; nothing is tried in turn.
func parseDate(s string, order int) (string, problem) {
	o := dateOrders[max(order, 0)]
	expected := problem{
		fmt.Sprintf("a date as %s was expected, such as %s", o.words, o.example),
		"write the date so, or leave the cell blank",
	}
	otherwise := "; if the whole column is written otherwise, map it to last_survey_%s in the configuration (input.columns)"
	if order <= 0 {
		expected.fix += fmt.Sprintf(otherwise, "dmy or last_survey_mdy")
	}
	m := threeNumbers.FindStringSubmatch(s)
	if m == nil || m[2] != m[4] {
		return "", expected
	}
	parts := [3]string{m[1], m[3], m[5]}
	if iso := m[2] == "-" && len(parts[0]) == 4; iso || order <= 0 {
		if !iso || len(parts[1]) != 2 || len(parts[2]) != 2 {
			return "", expected
		}
		o = dateOrders[0]
	}
	year, month, day := parts[o.year], parts[o.month], parts[o.day]
	switch {
	case len(month) > 2 || len(day) > 2:
		return "", expected
	case len(year) == 2:
		return "", problem{fmt.Sprintf("the year has two digits; a date as %s with four was expected, such as %s", o.words, o.example),
			"write the year with four digits: which century is meant is not guessed"}
	case len(year) != 4:
		return "", expected
	}
	t, err := time.Parse("2006-1-2", year+"-"+month+"-"+day)
	if err != nil {
		reason := "there is no such day"
		m, _ := strconv.Atoi(month)
		if d, _ := strconv.Atoi(day); order > 0 && m > 12 && d <= 12 {
			reason = "there is no month " + month
			expected.fix += fmt.Sprintf(otherwise, []string{1: "mdy", 2: "dmy"}[order])
		}
		return "", problem{reason + "; " + expected.reason, expected.fix}
	}
	if y := t.Year(); y < 1800 || y > 2200 {
		return "", problem{"the year is outside 1800 to 2200", "correct the date, or leave the cell blank"}
	}
	return t.Format(time.DateOnly), problem{}
}
