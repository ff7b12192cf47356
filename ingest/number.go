package ingest

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// problem says what is wrong with one cell. The zero value means nothing is.
type problem struct{ reason, fix string }

func (p problem) bad() bool { return p.reason != "" }

// parseNumber reads a trimmed, non-blank cell in the unit of its column and
// returns it in SI. delim is the delimiter of the file, which tells how a
// comma is meant.
func parseNumber(s string, c *Column, unit int, delim byte) (float64, problem) {
	if v, err := strconv.ParseFloat(s, 64); err == nil && plain(s) {
		return inRange(v, s, c, unit)
	}
	if Number(c.slot) == Orientation {
		if v, ok := compass[fold(s)]; ok {
			return v, problem{}
		}
	}
	num, rest := splitUnit(s)
	if num == "" {
		return notANumber(s, c)
	}
	if rest != "" {
		if unit < 0 || !c.Units[unit].is(rest) {
			if unit < 0 {
				return 0, problem{"a plain number was expected", "remove the unit from the cell"}
			}
			fix := fmt.Sprintf("give the value in %s, without a unit in the cell, or add an alias for field %s in the configuration (input.aliases)", c.Units[unit].Suffix, c.Name)
			if strings.ContainsFunc(rest, func(r rune) bool { return '0' <= r && r <= '9' }) && !unicode.IsLetter(rune(rest[0])) {
				return 0, problem{fmt.Sprintf("one number in %s was expected, and there is more than one", c.Units[unit].Suffix), "decide for one of them"}
			}
			return 0, problem{fmt.Sprintf("the cell says %q but the column is in %s", rest, c.Units[unit].Suffix), fix}
		}
	}
	num, p := point(num, delim)
	if p.bad() {
		return 0, p
	}
	v, err := strconv.ParseFloat(num, 64)
	if err != nil && !math.IsInf(v, 0) || !plain(num) {
		return notANumber(s, c)
	}
	return inRange(v, s, c, unit)
}

// plain refuses what strconv accepts beyond decimal notation: inf, nan, hex
// and underscores.
func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case '0' <= c && c <= '9', c == '.', c == '-', c == '+', c == 'e', c == 'E':
		default:
			return false
		}
	}
	return true
}

// splitUnit cuts a cell into a number and the unit behind it. The number is ""
// when the cell does not begin with one.
func splitUnit(s string) (num, unit string) {
	i, digits := 0, 0
	for i < len(s) {
		c := s[i]
		switch {
		case '0' <= c && c <= '9':
			digits++
		case c == '.' || c == ',' || c == '\'' || (c == '-' || c == '+') && i == 0:
		case (c == 'e' || c == 'E') && digits > 0 && exponent(s[i+1:]) > 0:
			i += exponent(s[i+1:])
		case c == ' ' && i+1 < len(s) && '0' <= s[i+1] && s[i+1] <= '9':
		default:
			goto end
		}
		i++
	}
end:
	if digits == 0 {
		return "", s
	}
	num = strings.TrimRight(s[:i], "' ")
	return num, strings.TrimSpace(s[len(num):])
}

// exponent returns the length of the digits, with their sign, that s begins with.
func exponent(s string) int {
	i := 0
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	start := i
	for i < len(s) && '0' <= s[i] && s[i] <= '9' {
		i++
	}
	if i == start {
		return 0
	}
	return i
}

// blanks are the spaces that spreadsheets put between groups of digits or before
// a unit: no-break, figure, thin and narrow no-break space.
var blanks = strings.NewReplacer("\u00a0", " ", "\u2007", " ", "\u2009", " ", "\u202f", " ")

// inGroups is a number whose digits stand in groups of three with a space
// between them, as ISO 80000-1 asks for (from memory). Unlike a comma or a
// point, a space cannot be the decimal sign.
var inGroups = regexp.MustCompile(`^[+-]?[0-9]{1,3}( [0-9]{3})+([.,][0-9]+)?$`)

// point turns the decimal comma of a number into a point and refuses thousands
// separators other than spaces. A comma before exactly three digits is a decimal comma only in a
// file delimited by semicolons, which is what programs write where the comma
// is the decimal sign; elsewhere it could be either and is refused.
func point(num string, delim byte) (string, problem) {
	grouped := problem{"thousands separators are not accepted, for they can be read two ways", "write the digits without separators, with a point as the decimal sign"}
	if inGroups.MatchString(num) {
		num = strings.ReplaceAll(num, " ", "")
	}
	if strings.ContainsAny(num, " '") {
		return "", grouped
	}
	comma := strings.IndexByte(num, ',')
	dots := strings.Count(num, ".")
	if comma < 0 {
		if dots > 1 {
			return "", grouped
		}
		return num, problem{}
	}
	if dots > 0 || strings.Count(num, ",") > 1 {
		return "", grouped
	}
	whole := strings.TrimLeft(num[:comma], "+-")
	if delim != ';' && len(num)-comma-1 == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0' {
		return "", grouped
	}
	return num[:comma] + "." + num[comma+1:], problem{}
}

func (u Unit) is(word string) bool {
	squash := func(s string) string {
		return strings.ToLower(strings.NewReplacer(" ", "", "²", "2", "·", "*", ".", "").Replace(s))
	}
	w := squash(word)
	if w == squash(u.Suffix) {
		return true
	}
	for _, x := range u.words {
		if w == squash(x) {
			return true
		}
	}
	return false
}

func notANumber(s string, c *Column) (float64, problem) {
	want := "a number was expected"
	if Number(c.slot) == Orientation {
		want = "degrees or one of N, NNE, NE, ENE … NNW were expected"
	}
	fix := "write the number alone, without other text"
	if !c.Required {
		fix += ", or leave the cell blank if it is not known"
	}
	fix += fmt.Sprintf("; a word that stands for a number needs an alias for field %s in the configuration (input.aliases)", c.Name)
	switch fold(s) {
	case "nan", "inf", "infinity", "na", "null", "none", "tbc", "tbd", "":
		if c.Required {
			fix = "the value is required: survey it, or leave the building out"
		} else {
			fix = "leave the cell blank if it is not known"
		}
	}
	return 0, problem{want, fix}
}

// inRange converts a value to SI and holds it against the column's range.
func inRange(v float64, s string, c *Column, unit int) (float64, problem) {
	factor := 1.0
	if unit >= 0 {
		factor = c.Units[unit].Factor
	}
	si := v * factor
	if si >= c.Min && si <= c.Max {
		if Number(c.slot) == Orientation && si == 360 {
			si = 0
		}
		return si + 0, problem{} // + 0 makes −0 into 0
	}
	if math.IsNaN(v) {
		return notANumber("nan", c)
	}
	// An end of the range typed in another unit may miss it by rounding.
	if eps := 1e-9 * math.Abs(c.Max-c.Min); si >= c.Min-eps && si <= c.Max+eps {
		return min(max(si, c.Min), c.Max), problem{}
	}
	u := c.SI
	if unit >= 0 {
		u = c.Units[unit].Suffix
	}
	reason := "the value is outside the accepted range " + c.limits(factor, u)
	if v < 0 && c.Min >= 0 {
		reason = "a negative value cannot be; accepted range " + c.limits(factor, u)
	}
	fix := "correct the cell"
	if len(c.Units) > 1 {
		fix = "correct the cell, or the unit in the column name"
	}
	return 0, problem{reason, fix}
}

// limits prints the accepted range in the unit of the column.
func (c *Column) limits(factor float64, unit string) string {
	return strings.TrimSpace(fmt.Sprintf("%s to %s %s", short(c.Min/factor), short(c.Max/factor), unit))
}

func short(v float64) string {
	if v == math.Trunc(v) && math.Abs(v) < 1e9 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', 4, 64)
}

// compass holds the 16 points of the compass rose and the words for eight.
var compass = func() map[string]float64 {
	m := map[string]float64{
		"north": 0, "northeast": 45, "east": 90, "southeast": 135,
		"south": 180, "southwest": 225, "west": 270, "northwest": 315,
	}
	for i, p := range compassPoints {
		m[fold(p)] = float64(i) * sectorWidth
	}
	return m
}()
