package page

import (
	"fmt"
	"math"
	"strings"

	"wallsift/model/simulate"
	"wallsift/model/wall"
	"wallsift/screen/report"
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
	for r := rune(' '); len(out) <= fullCourse; r++ {
		if r < 0x7f && !strings.ContainsRune("\"\\<>&'`", r) || r >= 0xc0 {
			out = append(out, r)
		}
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

// shelf holds what many judgements share, so that a row names one by its place. It
// grows with the variety of an inventory, not with its length.
type shelf struct {
	all []any
	at  map[any]int // by key
}

// place finds a thing by its key; it is added when it is new.
func (s *shelf) place(key, x any) int {
	i, ok := s.at[key]
	if !ok {
		if s.at == nil {
			s.at = map[any]int{}
		}
		i = len(s.all)
		s.at[key] = i
		s.all = append(s.all, x)
	}
	return i
}

// word is the place of a text.
func (p *pool) word(text string) int { return p.words.place(text, text) }

// pool holds what judgements share.
type pool struct{ words, lines, lists, stacks, materials shelf }

// stack keeps layers as [material, thickness in thousandths of unit, role, …]; the
// masonry's thickness is left to the building, so that walls of many thicknesses
// share one stack.
func (p *pool) stack(w *wall.Wall, unit report.Scale) int {
	row := []int{}
	for _, l := range w.Layers[:w.N] {
		d := int(math.Round(unit.Of(l.Thickness) * 1000))
		if l.Role == wall.Masonry {
			d = -1
		}
		row = append(row, p.materials.place(l.Material.ID, report.Object{{"label", l.Material.Label}, {"kind", l.Material.Kind}}), d, int(l.Role))
	}
	return p.stacks.place(fmt.Sprint(row), row)
}

// list keeps a work list: the places of its lines, which are an action and the places
// of texts.
func (p *pool) list(lines []report.WorkLine) int {
	list := []int{}
	for _, l := range lines {
		one := [...]int{int(l.Action), p.word(l.Stage), p.word(l.Work), p.word(l.Layer), p.word(l.Caution), p.word(l.Why), p.word(l.Blocks)}
		list = append(list, p.lines.place(one, one))
	}
	return p.lists.place(fmt.Sprint(list), list)
}
