package page

import (
	"encoding/json"
	"math"

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

// shelf holds what many judgements share, so that a row names one by its place. It
// grows with the variety of an inventory, not with its length.
type shelf[T comparable] struct {
	all []T
	at  map[T]int
}

// place finds a thing, which is added when it is new.
func (s *shelf[T]) place(x T) int {
	i, ok := s.at[x]
	if !ok {
		if s.at == nil {
			s.at = map[T]int{}
		}
		i = len(s.all)
		s.at[x] = i
		s.all = append(s.all, x)
	}
	return i
}

// numbers is a list of numbers as JSON.
type numbers string

func numbersOf(list []int) numbers {
	b, err := json.Marshal(list)
	if err != nil { // numbers always encode
		panic(err)
	}
	return numbers(b)
}

// MarshalJSON implements json.Marshaler.
func (n numbers) MarshalJSON() ([]byte, error) { return []byte(n), nil }

// workLine is one of a work list: its action, and the places of its texts.
type workLine [7]int

type material struct {
	id    string
	Label string `json:"label"`
	Kind  string `json:"kind"`
}

// pool holds what judgements share.
type pool struct {
	words         shelf[string]
	lines         shelf[workLine]
	lists, stacks shelf[numbers]
	materials     shelf[material]
}

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
		row = append(row, p.materials.place(material{l.Material.ID, l.Material.Label, l.Material.Kind}), d, int(l.Role))
	}
	return p.stacks.place(numbersOf(row))
}

// list keeps a work list: the places of its lines.
func (p *pool) list(lines []report.WorkLine) int {
	list := []int{}
	for i := range lines {
		l := &lines[i]
		one := workLine{int(l.Action)}
		for k, text := range [...]string{l.Stage, l.Work, l.Layer, l.Caution, l.Why, l.Blocks} {
			one[k+1] = p.words.place(text)
		}
		list = append(list, p.lines.place(one))
	}
	return p.lists.place(numbersOf(list))
}
