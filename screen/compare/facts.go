package compare

import (
	"slices"

	"wallsift/ingest"
)

// InputsColumn is a column that a ranking may have: a hash of all facts a
// building was judged by. With it a change of a fact that has no column is seen
// too.
const InputsColumn = "inputs_sha256"

// factColumns lists the columns, of those both rankings have, that repeat a
// fact of the inventory by which buildings can be judged. Facts that are only
// carried to the tables (group, fuel, date of survey) and ride-through columns
// are none: they cannot move a figure. hidden lists the facts that can and are
// not in both. At most 64 are compared, more than the catalogue has.
func factColumns(a, b []string) (names, hidden []string) {
	for _, c := range ingest.Columns() {
		if c.Name == "building_id" || !c.Required && (c.Kind == ingest.KindText || c.Kind == ingest.KindDate) {
			continue
		}
		found := false
		for _, h := range append(c.Headers(), c.Name) {
			if slices.Contains(a, h) && slices.Contains(b, h) && !slices.Contains(names, h) && len(names) < 64 {
				names, found = append(names, h), true
			}
		}
		if !found {
			hidden = append(hidden, c.Name)
		}
	}
	return names, hidden
}
