package compare

import (
	"context"
	"math"
	"slices"
	"strings"

	"github.com/cespare/xxhash/v2"

	"wallsift/config"
	"wallsift/screen"
)

// side is the older or the newer run.
type side int

const (
	before side = iota
	after
)

// figures are what is compared of one building under one strategy in one run.
type figures struct {
	there     bool
	best      bool // its building's first strategy
	verdict   uint8
	governing uint8 // 0 = none
	tier      uint8 // 0 = not said
	work      work
	share     float32
	chance    float32
}

// names numbers words that repeat.
type names[N uint8 | uint16] struct {
	list []string
	at   map[string]N
}

func newNames[N uint8 | uint16](first ...string) *names[N] {
	n := &names[N]{at: map[string]N{}}
	for _, s := range first {
		n.number(s)
	}
	return n
}

// full says that words are no longer told apart.
func (n *names[N]) full() bool { return len(n.list) == int(^N(0)) }

// number gives a word its number. The last number is shared by all words after:
// no run has so many strategies or measures, nor lists of work, whose ids come
// from short tables.
func (n *names[N]) number(s string) N {
	if i, ok := n.at[s]; ok {
		return i
	}
	if n.full() {
		return ^N(0) - 1
	}
	s = strings.Clone(s)
	i := N(len(n.list))
	n.list, n.at[s] = append(n.list, s), i
	return i
}

// index holds both runs, a place for each building and strategy.
type index struct {
	ids        []string
	at         map[string]int32
	in         [][2]bool           // by building: in which runs it is
	facts      [][]uint64          // by building: hashes of the older run's facts
	differ     []uint64            // by building: which facts differ, by bit
	inputs     [][2]uint64         // by building: hash of InputsColumn, 0 = none
	cells      [][][2]figures      // by strategy, then by building
	zone       [][2]uint8          // by building: climate, by zones
	taught     map[string]*[2]bool // climates and stones the transient tier judged in
	chances    bool                // one of the runs gives chances
	strategies *names[uint8]
	verdicts   *names[uint8]
	governing  *names[uint8]
	tiers      *names[uint8]
	zones      *names[uint8]  // "" = not said
	lists      *names[uint16] // cells of workColumns
}

func newIndex() *index {
	x := &index{at: map[string]int32{}, strategies: newNames[uint8](), verdicts: newNames[uint8](), governing: newNames[uint8](""), tiers: newNames[uint8](""),
		zones: newNames[uint8](""), taught: map[string]*[2]bool{}, lists: newNames[uint16]()}
	for v := range screen.NumVerdicts { // best first, so that numbers are grades
		x.verdicts.number(v.String())
	}
	return x
}

func (x *index) building(id string) int32 {
	if i, ok := x.at[id]; ok {
		return i
	}
	id = strings.Clone(id)
	i := int32(len(x.ids))
	x.at[id] = i
	x.ids = append(x.ids, id)
	x.in = append(x.in, [2]bool{})
	x.facts = append(x.facts, nil)
	x.differ = append(x.differ, 0)
	x.inputs = append(x.inputs, [2]uint64{})
	x.zone = append(x.zone, [2]uint8{})
	return i
}

// cell returns the place of a building under a strategy.
func (x *index) cell(strategy uint8, building int32) *[2]figures {
	for len(x.cells) <= int(strategy) {
		x.cells = append(x.cells, nil)
	}
	col := x.cells[strategy]
	if n := int(building) + 1; len(col) < n {
		col = slices.Grow(col, n-len(col))[:n]
		x.cells[strategy] = col
	}
	return &col[building]
}

// read takes one run in.
func (x *index) read(ctx context.Context, r *ranking, s side, facts []string) error {
	chance := ""
	for _, name := range slices.Backward(chanceColumns) {
		if slices.Contains(r.names, name) {
			chance = name
		}
	}
	const firstWork, fixed = 11, 11 + len(workColumns)
	cols := slices.Concat([]string{idColumn, strategyColumn, verdictColumn, rankColumn, governingColumn, shareColumn, tierColumn, chance, InputsColumn, zoneColumn, stoneColumn}, workColumns[:], facts)
	return r.each(ctx, cols, func(c cells, rows int) error {
		last, b := "", int32(-1)
		for i := range rows {
			if id := c.text(0, i); b < 0 || id != last {
				last, b = id, x.building(id)
				if !x.in[b][s] {
					x.in[b][s] = true
					x.note(b, s, c, i, fixed, len(facts))
				}
			}
			if tier := c.text(6, i); tier != "" && tier != config.TierSteady {
				x.lesson(s, zoneColumn, c.text(9, i))
				x.lesson(s, stoneColumn, c.text(10, i))
			}
			likely := float32(c.number(7, i))
			x.chances = x.chances || likely == likely
			var todo work
			for k := range todo {
				todo[k] = x.lists.number(c.text(firstWork+k, i))
			}
			x.cell(x.strategies.number(c.text(1, i)), b)[s] = figures{
				there: true, best: c.number(3, i) == 1,
				verdict: x.verdicts.number(c.text(2, i)), governing: x.governing.number(c.text(4, i)), tier: x.tiers.number(c.text(6, i)),
				share: float32(c.number(5, i)), chance: likely, work: todo,
			}
		}
		return nil
	})
}

// lesson notes a climate or stone that response surfaces learnt from.
func (x *index) lesson(s side, column, word string) {
	if word == "" {
		return
	}
	name := column + " " + word
	if x.taught[name] == nil {
		x.taught[name] = &[2]bool{}
	}
	x.taught[name][s] = true
}

// note keeps the facts of a building, or holds them against those kept.
func (x *index) note(b int32, s side, c cells, row, first, n int) {
	if text := c.text(8, row); text != "" {
		x.inputs[b][s] = xxhash.Sum64String(text)
	}
	x.zone[b][s] = x.zones.number(c.text(9, row))
	if s == before {
		x.facts[b] = make([]uint64, n)
	}
	if x.facts[b] == nil {
		return // the building is new
	}
	for k := range n {
		h := xxhash.Sum64String(c.text(first+k, row))
		if s == before {
			x.facts[b][k] = h
		} else if x.facts[b][k] != h {
			x.differ[b] |= 1 << k
		}
	}
}

// visible is the least change of a utilisation or a chance that counts: half
// of the last digit that rankings print.
const visible = 0.0005

func moved(a, b float32) bool {
	if math.IsNaN(float64(a)) || math.IsNaN(float64(b)) {
		return a == a != (b == b)
	}
	return math.Abs(float64(a)-float64(b)) >= visible
}
