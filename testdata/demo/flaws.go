package main

import (
	"slices"
	"strconv"
	"strings"
)

// line is one line of the inventory. A flaw names what is wrong with it; ""
// means that it ought to be accepted.
type line struct {
	cells []string
	flaw  string
}

// ragged lines do not fit under the header and cannot stand in Parquet.
func (l line) ragged() bool { return len(l.cells) != len(columns) }

// flaw is one way a row is bad: a cell that becomes another. It is dealt to a
// row that it fits.
type flaw struct {
	name, column string
	fits         func(cell string) bool
	do           func(cell string) string
}

func is(word string) func(string) bool {
	return func(s string) bool { return strings.EqualFold(s, word) }
}

func any(string) bool { return true }

func to(s string) func(string) string { return func(string) string { return s } }

// inCentimetres is a thickness typed in cm under a header in mm. A wall of
// 500 mm or more would become 50 mm or more, which no range can tell from a
// thin wall; the demo keeps to cases that can be told.
var inCentimetres = flaw{"thickness in cm", "wall_thickness_mm", func(s string) bool { return whole(s) >= 330 && whole(s) < 500 },
	func(s string) string { return strconv.Itoa(whole(s) / 10) }}

// flaws are dealt once each, in this order, to different rows.
var flaws = []flaw{
	{"stone misspelt", "stone_type", is("granite_rubble"), to("granit ruble")},
	{"stone not in the table", "stone_type", is("sandstone_porous"), to("local freestone (see file)")},
	{"zone misspelt", "climate_zone", is("oceanic_wet"), to("oceanic_wett")},
	{"two zones in one cell", "climate_zone", is("5a"), to("5A/4A")},
	{"thickness zero", "wall_thickness_mm", any, to("0")},
	{"thickness elsewhere", "wall_thickness_mm", any, to("see file")},
	inCentimetres,
	inCentimetres,
	{"thickness blank", "wall_thickness_mm", any, to("")},
	{"exposure blank", "exposure", any, to("")},
	{"exposure unknown", "exposure", any, to("unknown")},
	{"timber blank", "embedded_timber", any, to("")},
	{"date day first", "last_survey", func(s string) bool { return s != "" }, func(s string) string { return s[8:] + "/" + s[5:7] + "/" + s[:4] }},
	{"condition in own words", "rainwater_goods", func(s string) bool { return s == "defective" }, to("leaking at back")},
}

// spoil deals the flaws and turns homes into lines.
func (d dice) spoil(homes []home) []line {
	wrong := make([]string, len(homes))
	order := d.Perm(len(homes))
	take := func(name string, fits func(int) bool) int {
		at := slices.IndexFunc(order, func(i int) bool { return wrong[i] == "" && fits(i) })
		i := order[at] // panics when a flaw fits no row: change the seed or the flaw
		order = slices.Delete(order, at, at+1)
		wrong[i] = name
		return i
	}
	for _, f := range flaws {
		i := take(f.name, func(i int) bool { return f.fits(homes[i][f.column]) })
		homes[i][f.column] = f.do(homes[i][f.column])
	}
	// Two homes bear the id of one a little further up.
	for range 2 {
		i := take("id given twice", func(i int) bool { return i > 5 && wrong[i-3] == "" })
		homes[i]["building_id"] = homes[i-3]["building_id"]
		wrong[i-3] = "-" // must stay good, the first row counts
	}
	anyRow := func(int) bool { return true }
	short, long, pasted := take("a cell is missing", anyRow), take("comma without quotes", anyRow), take("-", anyRow)
	var lines []line
	for i, h := range homes {
		l := line{flaw: strings.TrimPrefix(wrong[i], "-")}
		for _, c := range columns {
			switch {
			case i == short && c.name == "mortar":
			case i == long && c.name == "street":
				number, rest, _ := strings.Cut(h[c.name], ", ")
				l.cells = append(l.cells, number, rest)
			default:
				l.cells = append(l.cells, h[c.name])
			}
		}
		lines = append(lines, l)
		if i == pasted {
			lines = append(lines, line{cells: l.cells, flaw: "row pasted twice"})
		}
	}
	return lines
}
