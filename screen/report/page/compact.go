package page

import (
	"encoding/json"
	"math"
	"strconv"

	"wallsift/model/simulate"
)

// line builds one row of data as JSON. Strings go through encoding/json, which
// writes <, > and & as escapes: no row can end the script element it stands in.
type line struct{ b []byte }

func (l *line) reset() { l.b = l.b[:0] }

func (l *line) open() {
	l.comma()
	l.b = append(l.b, '[')
}

func (l *line) shut() { l.b = append(l.b, ']') }

func (l *line) comma() {
	if n := len(l.b); n > 0 && l.b[n-1] != '[' {
		l.b = append(l.b, ',')
	}
}

func (l *line) int(x int) {
	l.comma()
	l.b = strconv.AppendInt(l.b, int64(x), 10)
}

// scaled writes x × scale as a whole number; what is not a number is null.
func (l *line) scaled(x, scale float64) {
	l.comma()
	if math.IsNaN(x) || math.IsInf(x, 0) {
		l.b = append(l.b, "null"...)
		return
	}
	l.b = strconv.AppendInt(l.b, int64(math.Round(x*scale)), 10)
}

// chance writes a chance in per mille, null where it was not drawn.
func (l *line) chance(x float64) {
	if x < 0 {
		x = math.NaN()
	}
	l.scaled(x, 1000)
}

func (l *line) text(s string) {
	l.comma()
	b, err := json.Marshal(s)
	if err != nil { // a string always encodes
		panic(err)
	}
	l.b = append(l.b, b...)
}

// alphabet spells half percents of humidity from 100 % downwards, one letter
// each: damp weeks, the many, take one byte and dry ones two. It has no letter
// that JSON or HTML would escape.
var alphabet = func() []rune {
	var out []rune
	for r := rune(' '); r < 0x7f; r++ {
		switch r {
		case '"', '\\', '<', '>', '&', '\'', '`':
			continue
		}
		out = append(out, r)
	}
	for r := rune(0xc0); len(out) <= fullCourse; r++ {
		out = append(out, r)
	}
	return out
}()

// fullCourse is 100 % in half percents.
const fullCourse = 200

// spell writes a course, or nothing when it was not run.
func spell(course *[simulate.Weeks]uint8) string {
	if *course == ([simulate.Weeks]uint8{}) {
		return ""
	}
	out := make([]rune, len(course))
	for i, x := range course {
		out[i] = alphabet[fullCourse-min(int(x), fullCourse)]
	}
	return string(out)
}
