package page

import (
	"math"
	"strconv"
	"strings"

	"wallsift/model/wall"
	"wallsift/screen"
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
}

type material struct {
	Label string `json:"label"`
	Kind  string `json:"kind"`
}

func newPool() *pool {
	return &pool{worksIndex: map[works]int{}, stackIndex: map[string]int{}, matIndex: map[string]int{}}
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

// stack keeps layers as [material, µm, role, …]; the masonry's thickness is left
// to the building, so that walls of many thicknesses share one stack.
func (p *pool) stack(layers []screen.StackLayer) int {
	var b strings.Builder
	b.WriteByte('[')
	for i, l := range layers {
		m, ok := p.matIndex[l.Material+"\x00"+l.Label]
		if !ok {
			m = len(p.materials)
			p.matIndex[l.Material+"\x00"+l.Label] = m
			p.materials = append(p.materials, material{l.Label, l.Kind})
		}
		d := int(math.Round(l.Thickness * 1e6))
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
