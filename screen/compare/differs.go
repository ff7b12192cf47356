package compare

import (
	"fmt"
	"strings"
)

// differs names what differs behind a change: facts with both values, parts of
// the method, the tier of the row.
func (r *Result) differs(c change) string {
	pair := &r.x.cells[c.strategy][c.building]
	id := r.x.ids[c.building]
	if in := r.x.in[c.building]; !in[before] {
		return r.absent(before, id, "old")
	} else if !in[after] {
		return r.absent(after, id, "new")
	} else if !pair[before].there {
		return "the old run does not have the strategy"
	} else if !pair[after].there {
		return "the new run does not have the strategy"
	}
	var out []string
	for _, f := range r.differing(c.building) {
		if f.name == noColumn {
			out = append(out, noColumn)
		} else {
			out = append(out, fmt.Sprintf("%s %s → %s", f.name, f.old, f.new))
		}
	}
	out = append(out, named(r.method(c))...)
	switch c.reason {
	case Neighbours:
		out = append(out, r.evidence.lessons...)
		for _, s := range named(r.elsewhere(c)) {
			out = append(out, s+" (another climate)")
		}
	case Unclear:
		if r.sameFacts(c.building) {
			out = append(out, "nothing that the runs note")
		} else {
			out = append(out, "perhaps a fact that is not in both rankings")
		}
	}
	if a, b := pair[before].tier, pair[after].tier; a != b && r.old.said("tier") == r.new.said("tier") {
		out = append(out, fmt.Sprintf("judged by tier %s → %s", r.x.tiers.list[a], r.x.tiers.list[b]))
	}
	return strings.Join(out, "; ")
}

// absent says why a building is not in a run.
func (r *Result) absent(s side, id, run string) string {
	if why := r.rejected[s][id]; why != "" {
		return fmt.Sprintf("the %s run rejected its row: %s", run, why)
	}
	return fmt.Sprintf("the %s run does not have the building", run)
}

// named gives parts of the method in words, the first few of many.
func named(parts []part) []string {
	const few = 4
	var out []string
	for i, p := range parts {
		if i == few && len(parts) > few+1 {
			return append(out, fmt.Sprintf("%d more settings", len(parts)-few))
		}
		out = append(out, p.what)
	}
	return out
}
