package page

import (
	"math"

	"wallsift/model/simulate"
)

// scaled is x × scale as a whole number; what is not a number is null.
func scaled(x, scale float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return int(math.Round(x * scale))
}

// perMille is a chance, null where it was not drawn.
func perMille(chance float64) any {
	if chance < 0 {
		return nil
	}
	return scaled(chance, 1000)
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
func spell(course [simulate.Weeks]uint8) string {
	if course == ([simulate.Weeks]uint8{}) {
		return ""
	}
	out := make([]rune, len(course))
	for i, x := range course {
		out[i] = alphabet[fullCourse-min(int(x), fullCourse)]
	}
	return string(out)
}
