package ingest

import (
	"strings"
	"time"
)

// parseDate accepts an ISO 8601 calendar date, alone or before a time of day,
// and returns the date alone.
func parseDate(s string) (string, problem) {
	day := s
	if i := strings.IndexAny(s, "T "); i == len("2006-01-02") {
		day = s[:i]
		rest := strings.TrimSuffix(s[i+1:], "Z")
		if j := strings.IndexAny(rest, "+-"); j > 0 {
			rest = rest[:j]
		}
		if _, err := time.Parse("15:04:05", rest); err != nil {
			if _, err := time.Parse("15:04", rest); err != nil {
				day = ""
			}
		}
	}
	t, err := time.Parse("2006-01-02", day)
	if err != nil {
		return "", problem{"a date as year-month-day was expected, such as 2019-04-30", "write the date as year-month-day, or leave the cell blank"}
	}
	if y := t.Year(); y < 1800 || y > 2200 {
		return "", problem{"the year is outside 1800 to 2200", "correct the date, or leave the cell blank"}
	}
	return day, problem{}
}
