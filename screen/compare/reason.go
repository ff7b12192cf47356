package compare

import (
	"slices"

	"wallsift/config"
)

// Reason says why a row moved.
type Reason uint8

const (
	// InputChanged: a fact of the building differs, the method does not.
	InputChanged Reason = iota
	// MethodChanged: version, settings, tier, weather or seed differ in what can
	// move the row, no fact of the building does as far as the rankings show.
	MethodChanged
	// BothChanged: a fact and the method differ.
	BothChanged
	// Added: only the newer run has the row.
	Added
	// Removed: only the older run has the row.
	Removed
	// Neighbours: facts and what of the method can move the row are surely the
	// same. The response surface learns from the climates and stones of the list,
	// and those, or their weather, are others.
	Neighbours
	// Unclear: no difference is seen that explains it.
	Unclear
	numReasons
)

// String returns the words that tables print.
func (r Reason) String() string {
	return [numReasons]string{"input changed", "method changed", "both changed", "added", "removed", "neighbours", "unclear"}[r]
}

// evidence is what is known of the two runs as wholes.
type evidence struct {
	method    []part   // what of it differs
	hidden    []string // facts that are not in both rankings
	lessons   []string // climates and stones that one run alone learnt from
	hashed    bool     // both rankings have InputsColumn
	sameFiles bool     // both read the same bytes
}

// ground is what decides which parts of the method reach a row. Rows share few,
// so that what reaches each is found once.
type ground struct {
	strategy uint8
	zones    [2]uint8
	hourly   bool
}

// method lists the parts of the method that can move a row by themselves.
func (r *Result) method(c change) []part {
	pair := &r.x.cells[c.strategy][c.building]
	g := ground{c.strategy, r.x.zone[c.building], !r.x.steady(pair[before].tier) || !r.x.steady(pair[after].tier)}
	out, known := r.reaching[g]
	if known {
		return out
	}
	var zones [2]string // "" where they are too many to be told apart
	if !r.x.zones.full() {
		for s, z := range g.zones {
			zones[s] = r.x.zones.list[z]
		}
	}
	for _, p := range r.evidence.method {
		if p.reaches(g.hourly, r.x.strategies.list[g.strategy], zones[:]...) {
			out = append(out, p)
		}
	}
	r.reaching[g] = out
	return out
}

// steady says whether a tier is the monthly one.
func (x *index) steady(tier uint8) bool { return x.tiers.list[tier] == config.TierSteady }

// learnt says whether a row has a chance that was read off a response surface.
func (r *Result) learnt(c change) bool {
	for _, f := range r.x.cells[c.strategy][c.building] {
		if t := r.x.tiers.list[f.tier]; t != "" && t != config.TierSteady {
			return true
		}
	}
	return false
}

// elsewhere lists what of the method differs for other climates alone.
func (r *Result) elsewhere(c change) []part {
	var out []part
	for _, p := range r.evidence.method {
		if p.moves && p.zones != nil && (p.strategy == "" || p.strategy == r.x.strategies.list[c.strategy]) {
			out = append(out, p)
		}
	}
	return out
}

// sameFacts says whether the facts of a building are surely the same.
func (r *Result) sameFacts(b int32) bool {
	in := r.x.inputs[b]
	return in[before] != 0 && in[after] != 0 || len(r.evidence.hidden) == 0 || r.evidence.sameFiles
}

// input says whether a fact of a building differs.
func (x *index) input(b int32) bool {
	in := x.inputs[b]
	return x.differ[b] != 0 || in[before] != 0 && in[after] != 0 && in[before] != in[after]
}

// because finds the reason of a row that both runs have.
func (r *Result) because(c change) Reason {
	input, method := r.x.input(c.building), len(r.method(c)) > 0
	switch {
	case input && method:
		return BothChanged
	case input:
		return InputChanged
	case method:
		return MethodChanged
	case r.learnt(c) && r.sameFacts(c.building) && (len(r.evidence.lessons) > 0 || len(r.elsewhere(c)) > 0):
		return Neighbours
	}
	return Unclear
}

// lessons lists the climates and stones that response surfaces learnt from in
// one of the runs only.
func (x *index) lessons() []string {
	var out []string
	for name, in := range x.taught {
		switch {
		case in[before] && !in[after]:
			out = append(out, name+" is in no building any more")
		case !in[before] && in[after]:
			out = append(out, name+" is new")
		}
	}
	slices.Sort(out)
	return out
}
