package report

import (
	"fmt"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// Address returns the places among the ride-through columns of those that say where
// a building is, in the order of output.address. A name that no inventory has is
// left out; OwnColumns says so.
func Address(e *screen.Engine, names ingest.Names) []int {
	out := []int{}
	for _, name := range e.Output().Address {
		if i := names.ExtraColumn(name); i >= 0 {
			out = append(out, i)
		}
	}
	return out
}

// located puts the address behind the id, where there is one.
func located(e *screen.Engine, names ingest.Names, cols []Column) []Column {
	from := Address(e, names)
	if len(from) == 0 {
		return cols
	}
	at := slices.IndexFunc(cols, func(c Column) bool { return c.Name == "building_id" })
	return slices.Insert(cols, at+1, Column{Name: AddressName, Label: "Address", Help: "from the columns that output.address names", Brief: true, Inventory: true,
		get: func(l *line) cell {
			var parts []string
			for _, i := range from {
				if i < len(l.b.Extra) && l.b.Extra[i] != "" {
					parts = append(parts, l.b.Extra[i])
				}
			}
			return str(strings.Join(parts, ", "))
		}})
}

// AddressName is the name of the column of addresses.
const AddressName = "address"

// OwnColumns are notes on columns of the inventory's own: how an address is
// asked for, which name asked for is not there, and which columns that may hold
// personal data are written out.
func OwnColumns(out *config.Output, all ingest.Names) (notes []string) {
	names := slices.Clone(all.Extras)
	if len(out.Address) == 0 && len(names) > 0 {
		notes = append(notes, `No address stands beside the ids: name the columns of your own that hold it in output.address, such as --set "output.address=Street,Town"`)
	}
	for _, name := range out.Address {
		if all.ExtraColumn(name) < 0 {
			hint := ""
			if near := ingest.Suggest(name, names); near != "" {
				hint = fmt.Sprintf("; did you mean %q?", near)
			}
			notes = append(notes, fmt.Sprintf("output.address names %q, which is no column of your own in any inventory and is left out of the address%s", name, hint))
		}
	}
	if list := slices.DeleteFunc(names, func(n string) bool { return !ingest.NamesAny(n, out.Personal) }); len(list) > 0 {
		notes = append(notes, "These columns may hold personal data and are written out: "+strings.Join(list, ", ")+"; leave them out with output.withhold")
	}
	return notes
}
