package page

import (
	"math"
	"strconv"
	"strings"

	"wallsift/model/wall"
	"wallsift/screen"
	"wallsift/screen/report"
)

// works are the gates that acted and the steps of a judgement, as bit sets.
type works struct{ gates, do, check uint64 }

// pool holds what many judgements share, so that a row names it by its place.
// It grows with the variety of an inventory, not with its length.
type pool struct {
	works      []works
	worksIndex map[works]int
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
	return &pool{worksIndex: map[works]int{}, stackIndex: map[string]int{}, matIndex: map[string]int{}, wordIndex: map[string]int{}}
}

// word keeps a text.
func (p *pool) word(text string) int {
	i, ok := p.wordIndex[text]
	if !ok {
		i = len(p.words)
		p.wordIndex[text] = i
		p.words = append(p.words, text)
	}
	return i
}

func (p *pool) work(j *screen.Judgement) int {
	k := works{j.Gates, j.Do, j.Check}
	i, ok := p.worksIndex[k]
	if !ok {
		i = len(p.works)
		p.worksIndex[k] = i
		p.works = append(p.works, k)
	}
	return i
}

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
	key := b.String()
	i, ok := p.stackIndex[key]
	if !ok {
		i = len(p.stacks)
		p.stackIndex[key] = i
		p.stacks = append(p.stacks, key)
	}
	return i
}
