package compare

// Reason says why a row moved.
type Reason uint8

const (
	// InputChanged: a fact of the building differs, the method does not.
	InputChanged Reason = iota
	// MethodChanged: version, configuration, tier, weather or seed differ, no
	// fact of the building does as far as the rankings show.
	MethodChanged
	// BothChanged: a fact and the method differ.
	BothChanged
	// Added: only the newer run has the row.
	Added
	// Removed: only the older run has the row.
	Removed
	// Neighbours: facts and method are surely the same. The response surface
	// learns from the zones and stones that are present, and other buildings are.
	Neighbours
	// Unclear: no difference is seen, but the rankings do not show every fact.
	Unclear
	numReasons
)

// String returns the words that tables print.
func (r Reason) String() string {
	return [numReasons]string{"input changed", "method changed", "both changed", "added", "removed", "neighbours", "unclear"}[r]
}

// evidence is what is known of the two runs as wholes.
type evidence struct {
	method    []string // what of it differs
	complete  bool     // the rankings show every fact
	sameFiles bool     // both read the same bytes
	learns    bool     // a tier other than steady took part: figures depend on other buildings
}

// because finds the reason of a row that both runs have.
func (e *evidence) because(x *index, b int32) Reason {
	in := x.inputs[b]
	hashed := in[before] != 0 && in[after] != 0
	input := x.differ[b] != 0 || hashed && in[before] != in[after]
	switch {
	case input && len(e.method) > 0:
		return BothChanged
	case input:
		return InputChanged
	case len(e.method) > 0:
		return MethodChanged
	case e.learns && (hashed || e.complete || e.sameFiles):
		return Neighbours
	}
	return Unclear
}
