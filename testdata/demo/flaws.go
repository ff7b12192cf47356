package main

import (
	"slices"
	"strconv"
	"strings"
)

// flaw is one way a row is bad. It is dealt to a row that it fits.
type flaw struct {
	name string
	fits func(home) bool
	do   func(home)
}

func set(column, value string) func(home) { return func(h home) { h[column] = value } }

func always(home) bool { return true }

func stoneIs(id string) func(home) bool { return func(h home) bool { return h["stone_type"] == id } }

func zoneIs(id string) func(home) bool {
	return func(h home) bool { return strings.EqualFold(h["climate_zone"], id) }
}

// inCentimetres types the thickness in cm under a header in mm. A wall of
// 500 mm or more would become 50 mm or more, which no range can tell from a
// thin wall; the demo keeps to cases that can be told.
func inCentimetres(h home) {
	mm, _ := strconv.Atoi(h["wall_thickness_mm"]) // drawn as a whole number
	h["wall_thickness_mm"] = strconv.Itoa(mm / 10)
}

func thin(h home) bool {
	mm, err := strconv.Atoi(h["wall_thickness_mm"])
	return err == nil && mm >= 330 && mm < 500
}

// flaws are dealt once each, in this order, to different rows.
var flaws = []flaw{
	{"stone misspelt", stoneIs("granite_rubble"), set("stone_type", "granit ruble")},
	{"stone not in the table", stoneIs("sandstone_porous"), set("stone_type", "local freestone (see file)")},
	{"zone misspelt", zoneIs("oceanic_wet"), set("climate_zone", "oceanic_wett")},
	{"two zones in one cell", zoneIs("5a"), set("climate_zone", "5A/4A")},
	{"thickness zero", always, set("wall_thickness_mm", "0")},
	{"thickness a guess", always, set("wall_thickness_mm", "abt 500")},
	{"thickness in cm", thin, inCentimetres},
	{"thickness in cm", thin, inCentimetres},
	{"thickness blank", always, set("wall_thickness_mm", "")},
	{"exposure blank", always, set("exposure", "")},
	{"exposure unknown", always, set("exposure", "unknown")},
	{"timber blank", always, set("embedded_timber", "")},
	{"date day first", func(h home) bool { return h["last_survey"] != "" }, func(h home) {
		p := strings.Split(h["last_survey"], "-")
		h["last_survey"] = p[2] + "/" + p[1] + "/" + p[0]
	}},
	{"condition in own words", func(h home) bool { return h["rainwater_goods"] == "defective" }, set("rainwater_goods", "leaking at back")},
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
		f.do(homes[take(f.name, func(i int) bool { return f.fits(homes[i]) })])
	}
	// Two homes bear the id of one a little further up.
	for range 2 {
		i := take("id given twice", func(i int) bool { return i > 5 && wrong[i-3] == "" })
		homes[i]["building_id"] = homes[i-3]["building_id"]
		wrong[i-3] = "-" // must stay good, the first row counts
	}
	short := take("a cell is missing", func(int) bool { return true })
	long := take("comma without quotes", func(int) bool { return true })
	pasted := take("-", func(int) bool { return true })

	var lines []line
	for i, h := range homes {
		l := line{flaw: strings.TrimPrefix(wrong[i], "-")}
		for _, c := range columns {
			l.cells = append(l.cells, h[c])
		}
		at := slices.Index(columns, "street")
		switch i {
		case short:
			l.cells = slices.Delete(l.cells, 8, 9)
		case long:
			number, rest, _ := strings.Cut(l.cells[at], ", ")
			l.cells = slices.Replace(l.cells, at, at+1, number, rest)
		}
		lines = append(lines, l)
		if i == pasted {
			lines = append(lines, line{cells: slices.Clone(l.cells), flaw: "row pasted twice"})
		}
	}
	return lines
}
