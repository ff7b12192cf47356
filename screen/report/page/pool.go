package page

import (
	"math"
	"strconv"
	"strings"

	"wallsift/model/wall"
	"wallsift/screen"
	"wallsift/screen/report"
)

// pool holds what many judgements share, so that a row names it by its place.
// It grows with the variety of an inventory, not with its length.
type pool struct {
	lines      []string // of work lists, JSON
	lineIndex  map[string]int
	stages     []string // of work lists, JSON
	stageIndex map[string]int
	lists      []string // work lists, JSON
	listIndex  map[string]int
	stacks     []string // JSON
	stackIndex map[string]int
	materials  []material
	matIndex   map[string]int
	words      []string
	wordIndex  map[string]int
}

type material struct {
	Label string `json:"label"`
	Kind  string `json:"kind"`
}

func newPool() *pool {
	return &pool{lineIndex: map[string]int{}, stageIndex: map[string]int{}, listIndex: map[string]int{}, stackIndex: map[string]int{}, matIndex: map[string]int{}, wordIndex: map[string]int{}}
}

// place finds a text in a list, which it is added to when it is new.
func place(text string, list *[]string, index map[string]int) int {
	i, ok := index[text]
	if !ok {
		i = len(*list)
		index[text] = i
		*list = append(*list, text)
	}
	return i
}

// word keeps a text.
func (p *pool) word(text string) int { return place(text, &p.words, p.wordIndex) }

// stack keeps layers as [material, thickness in thousandths of unit, role, …]; the masonry's thickness is left
// to the building, so that walls of many thicknesses share one stack.
func (p *pool) stack(layers []screen.StackLayer, unit report.Scale) int {
	var b strings.Builder
	b.WriteByte('[')
	for i, l := range layers {
		m, ok := p.matIndex[l.Material+"\x00"+l.Label]
		if !ok {
			m = len(p.materials)
			p.matIndex[l.Material+"\x00"+l.Label] = m
			p.materials = append(p.materials, material{l.Label, l.Kind})
		}
		d := int(math.Round(unit.Of(l.Thickness) * 1000))
		if l.Role == wall.Masonry {
			d = -1
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(strconv.Itoa(m) + "," + strconv.Itoa(d) + "," + strconv.Itoa(int(l.Role)))
	}
	b.WriteByte(']')
	return place(b.String(), &p.stacks, p.stackIndex)
}
