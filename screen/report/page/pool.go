package page

import (
	"math"

	"wallsift/model/wall"
	"wallsift/screen"
	"wallsift/screen/report"
)

// shelf holds texts that many judgements share, so that a row names one by its
// place. It grows with the variety of an inventory, not with its length.
type shelf struct {
	all []string
	at  map[string]int
}

// place finds a text, which is added when it is new.
func (s *shelf) place(text string) int {
	i, ok := s.at[text]
	if !ok {
		if s.at == nil {
			s.at = map[string]int{}
		}
		i = len(s.all)
		s.at[text] = i
		s.all = append(s.all, text)
	}
	return i
}

// pool holds what judgements share. All but words and materials are JSON.
type pool struct {
	words, lines, lists, stacks, kinds shelf
	materials                          []material
}

type material struct {
	Label string `json:"label"`
	Kind  string `json:"kind"`
}

// word keeps a text.
func (p *pool) word(text string) int { return p.words.place(text) }

// stack keeps layers as [material, thickness in thousandths of unit, role, …]; the
// masonry's thickness is left to the building, so that walls of many thicknesses
// share one stack.
func (p *pool) stack(layers []screen.StackLayer, unit report.Scale) int {
	var row line
	row.open()
	for _, l := range layers {
		m := p.kinds.place(l.Material + "\x00" + l.Label)
		if m == len(p.materials) {
			p.materials = append(p.materials, material{l.Label, l.Kind})
		}
		d := int(math.Round(unit.Of(l.Thickness) * 1000))
		if l.Role == wall.Masonry {
			d = -1
		}
		row.int(m)
		row.int(d)
		row.int(int(l.Role))
	}
	row.shut()
	return p.stacks.place(string(row.b))
}

// list keeps a work list: the places of its lines. A line is its action, and the
// places of its texts.
func (p *pool) list(lines []report.WorkLine) int {
	var list line
	list.open()
	for i := range lines {
		l := &lines[i]
		var row line
		row.open()
		row.int(int(l.Action))
		for _, text := range [...]string{l.Stage, l.Work, l.Layer, l.Caution, l.Why, l.Blocks} {
			row.int(p.word(text))
		}
		row.shut()
		list.int(p.lines.place(string(row.b)))
	}
	list.shut()
	return p.lists.place(string(list.b))
}
