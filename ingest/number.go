package ingest

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

var (
	// numberAndUnit is a cell with one number in it, which somebody may have estimated.
	numberAndUnit = regexp.MustCompile(`^(?:(?i:ca\.?|c\.|circa|about|abt\.?|approx\.?|~|≈)\s*)?` +
		`([+-]?[0-9.,](?:[0-9.,']| [0-9])*(?:[eE][+-]?[0-9]+)?)(.*)$`)
	// twoEnds is a cell with two numbers that a value lies between.
	twoEnds = regexp.MustCompile(`^(.*[0-9].*?)(?:-|–|—|\bto\b)\s*([0-9].*)$`)
	// inGroups is a number whose digits stand in groups of three with a space
	// between them, as ISO 80000-1 asks for (from memory). Unlike a comma or a
	// point, a space cannot be the decimal sign.
	inGroups = regexp.MustCompile(`^[+-]?[0-9]{1,3}( [0-9]{3})+([.,][0-9]+)?$`)
)

// blanks are the spaces that spreadsheets put between groups of digits or before
// a unit: no-break, figure, thin and narrow no-break space.
var blanks = strings.NewReplacer("\u00a0", " ", "\u2007", " ", "\u2009", " ", "\u202f", " ")

// parseNumber reads a trimmed, non-blank cell and returns it in SI, with both
// ends the same unless the cell gives two. The unit is the one that the cell
// names, or else that of its column. delim is the delimiter of the file, which
// tells how a comma is meant.
func parseNumber(s string, c *Column, unit int, delim byte) (Range, problem) {
	of := Number(c.slot)
	if v, err := strconv.ParseFloat(s, 64); err == nil && plain(s) {
		si, p := inRange(v, c, unit)
		return Range{of, si, si}, p
	}
	if v, ok := compass[fold(s)]; ok && of == Orientation {
		return Range{of, v, v}, problem{}
	}
	s = blanks.Replace(s)
	// Degrees have no two ends: the sign of a coordinate and the turn past north
	// could be read two ways.
	from, to := s, s
	if m := twoEnds.FindStringSubmatch(s); m != nil && c.SI != "deg" && !oneNumber(s) {
		from, to = strings.TrimSpace(m[1]), m[2]
		if m := numberAndUnit.FindStringSubmatch(to); m != nil && oneNumber(from) { // 48-53 cm
			from += m[2]
		}
	}
	low, p := measure(from, c, unit, delim)
	if p.bad() {
		return Range{}, p
	}
	high, p := measure(to, c, unit, delim)
	if !p.bad() && low > high {
		p = problem{"the first of the two ends is the larger", "write the smaller end first"}
	}
	return Range{of, low, high}, p
}

// oneNumber says whether a cell is a number without a unit.
func oneNumber(s string) bool {
	m := numberAndUnit.FindStringSubmatch(s)
	return m != nil && m[2] == ""
}

// measure reads one number with or without a unit.
func measure(s string, c *Column, unit int, delim byte) (float64, problem) {
	m := numberAndUnit.FindStringSubmatch(s)
	if m == nil || !strings.ContainsAny(m[1], "0123456789") {
		return 0, notANumber(s, c)
	}
	num := strings.TrimRight(m[1], "' ")
	if rest := strings.TrimSpace(m[1][len(num):] + m[2]); rest != "" {
		switch said := c.unit(rest); {
		case unit < 0:
			return 0, problem{"a plain number was expected", "remove the unit from the cell"}
		case said >= 0:
			unit = said
		case strings.ContainsAny(rest, "0123456789") && rest[0] < 'A':
			return 0, problem{fmt.Sprintf("one number in %s was expected, and there is more than one", c.Units[unit].Suffix), "decide for one of them, or write the two ends of what is known as 48-53"}
		default:
			return 0, problem{fmt.Sprintf("the cell says %q but the column is in %s", shorten(rest), c.Units[unit].Suffix),
				fmt.Sprintf("give the value in %s, without a unit in the cell, or add an alias for field %s in the configuration (input.aliases)", c.Units[unit].Suffix, c.Name)}
		}
	}
	num, p := point(num, delim)
	if p.bad() {
		return 0, p
	}
	v, err := strconv.ParseFloat(num, 64)
	if err != nil && !math.IsInf(v, 0) || !plain(num) {
		return 0, notANumber(s, c)
	}
	return inRange(v, c, unit)
}

// plain refuses what strconv accepts beyond decimal notation: inf, nan, hex
// and underscores.
func plain(s string) bool { return strings.Trim(s, "0123456789.-+eE") == "" }

// point turns the decimal comma of a number into a point and refuses thousands
// separators other than spaces. A comma before exactly three digits is a decimal
// comma only in a file delimited by semicolons, which is what programs write
// where the comma is the decimal sign; elsewhere it could be either and is
// refused.
func point(num string, delim byte) (string, problem) {
	grouped := problem{"thousands separators are not accepted, for they can be read two ways", "write the digits without separators, with a point as the decimal sign"}
	if inGroups.MatchString(num) {
		num = strings.ReplaceAll(num, " ", "")
	}
	comma, dots := strings.IndexByte(num, ','), strings.Count(num, ".")
	if strings.ContainsAny(num, " '") || dots > 1 || comma >= 0 && dots > 0 || strings.Count(num, ",") > 1 {
		return "", grouped
	}
	if comma < 0 {
		return num, problem{}
	}
	whole := strings.TrimLeft(num[:comma], "+-")
	if delim != ';' && len(num)-comma-1 == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0' {
		return "", grouped
	}
	return num[:comma] + "." + num[comma+1:], problem{}
}

// unit is the index of the unit that a word stands for, -1 for none.
func (c *Column) unit(word string) int {
	squash := func(s string) string {
		return strings.ToLower(strings.NewReplacer(" ", "", "²", "2", "·", "*", ".", "").Replace(s))
	}
	is := func(x string) bool { return squash(x) == squash(word) }
	return slices.IndexFunc(c.Units, func(u Unit) bool { return is(u.Suffix) || slices.ContainsFunc(u.words, is) })
}

func notANumber(s string, c *Column) problem {
	p := problem{"a number was expected", "write the number alone, without other text"}
	if Number(c.slot) == Orientation {
		p.reason = "degrees or one of N, NNE, NE, ENE … NNW were expected"
	}
	if !c.Required {
		p.fix += ", or leave the cell blank if it is not known"
	}
	p.fix += fmt.Sprintf("; a word that stands for a number needs an alias for field %s in the configuration (input.aliases)", c.Name)
	switch fold(s) {
	case "nan", "inf", "infinity", "na", "null", "none", "tbc", "tbd", "":
		p.fix = "leave the cell blank if it is not known"
		if c.Required {
			p.fix = "the value is required: survey it, or leave the building out"
		}
	}
	return p
}

// inRange converts a value to SI and holds it against the column's range.
func inRange(v float64, c *Column, unit int) (float64, problem) {
	factor, name := 1.0, c.SI
	if unit >= 0 {
		factor, name = c.Units[unit].Factor, c.Units[unit].Suffix
	}
	si := v * factor
	// An end of the range typed in another unit may miss it by rounding.
	if eps := 1e-9 * math.Abs(c.Max-c.Min); si >= c.Min-eps && si <= c.Max+eps {
		si = min(max(si, c.Min), c.Max)
		if Number(c.slot) == Orientation && si == 360 {
			si = 0
		}
		return si + 0, problem{} // + 0 makes −0 into 0
	}
	limits := strings.TrimSpace(fmt.Sprintf("%s to %s %s", short(c.Min/factor), short(c.Max/factor), name))
	p := problem{"the value is outside the accepted range " + limits, "correct the cell"}
	if v < 0 && c.Min >= 0 {
		p.reason = "a negative value cannot be; accepted range " + limits
	}
	if len(c.Units) > 1 {
		p.fix += ", or the unit in the column name"
	}
	return 0, p
}

func short(v float64) string {
	if v == math.Trunc(v) && math.Abs(v) < 1e9 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', 4, 64)
}

// Orders in which a date column is written. They stand where a measure has its
// unit: 03/04/2022 says nothing until the header says which part is the month.
// The word for index i of Column.Units is spelled out in dateOrders[i].
var (
	orderYMD = Unit{"ymd", 1, []string{"yyyymmdd", "yearmonthday"}}
	orderDMY = Unit{"dmy", 1, []string{"ddmmyyyy", "daymonthyear"}}
	orderMDY = Unit{"mdy", 1, []string{"mmddyyyy", "monthdayyear"}}
)

var dateOrders = []struct{ layout, words, example, others string }{
	{"2006-01-02", "year-month-day", "2019-04-30", "dmy or last_survey_mdy"},
	{"2-1-2006", "day, month, year", "30/04/2019", "mdy"},
	{"1-2-2006", "month, day, year", "04/30/2019", "dmy"},
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
	o := dateOrders[order]
	p := problem{fmt.Sprintf("a date as %s was expected, such as %s", o.words, o.example), "write the date so, or leave the cell blank"}
	otherwise := fmt.Sprintf("; if the whole column is written otherwise, map it to last_survey_%s in the configuration (input.columns)", o.others)
	if order == 0 {
		p.fix += otherwise
	}
	m := threeNumbers.FindStringSubmatch(s)
	if m == nil || m[2] != m[4] || order == 0 && m[2] != "-" {
		return "", p
	}
	if m[2] == "-" && len(m[1]) == 4 {
		o = dateOrders[0]
	}
	date := m[1] + "-" + m[3] + "-" + m[5]
	t, err := time.Parse(o.layout, date)
	if y := t.Year(); err == nil && (y < 1800 || y > 2200) {
		return "", problem{"the year is outside 1800 to 2200", "correct the date, or leave the cell blank"}
	}
	reads := func(layout string) bool { _, err := time.Parse(layout, date); return err == nil }
	switch {
	case err == nil:
		return t.Format(time.DateOnly), problem{}
	case order > 0 && reads(strings.Replace(o.layout, "2006", "06", 1)):
		p = problem{fmt.Sprintf("the year has two digits; a date as %s with four was expected, such as %s", o.words, o.example),
			"write the year with four digits: which century is meant is not guessed"}
	case order > 0 && reads(dateOrders[3-order].layout):
		p = problem{fmt.Sprintf("there is no month %s; %s", m[5-2*order], p.reason), p.fix + otherwise}
	case strings.HasSuffix(err.Error(), "out of range"):
		p.reason = "there is no such day; " + p.reason
	}
	return "", p
}
