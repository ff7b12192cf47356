package main

import (
	"fmt"
	"math/rand/v2"
	"slices"
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

// inventory draws the whole list.
func inventory() []line {
	d := dice{rand.New(rand.NewPCG(1840, 1911))}
	var homes []home
	for _, s := range hexmark {
		streets := make([]street, len(s.streets))
		for i := range streets {
			streets[i] = d.street(s, i)
		}
		for range s.homes {
			homes = append(homes, d.home(s, streets[d.IntN(len(streets))]))
		}
	}
	// The list is kept by street within a district, as rent rolls are.
	slices.SortStableFunc(homes, func(a, b home) int { return strings.Compare(a["group_key"], b["group_key"]) })
	for i, h := range homes {
		h["building_id"] = fmt.Sprintf("HX-%04d", i+1)
		h["asset_ref"] = fmt.Sprintf("%s/%05d", strings.ToUpper(h["group_key"][:3]), d.between(10000, 99999))
		d.forget(h)
		d.handle(h)
	}
	return d.spoil(homes)
}

// forget blanks what nobody recorded; homes never surveyed miss most of what
// only a visit could tell.
func (d dice) forget(h home) {
	never := d.chance(blanks["last_survey"])
	for _, c := range columns {
		p, ok := blanks[c]
		if c == "last_survey" || !ok {
			continue
		}
		if onSite[c] {
			p *= 0.75
			if never {
				p = 0.75
			}
		}
		if !d.chance(p) {
			continue
		}
		h[c] = ""
		if c == "latitude_deg" {
			h["longitude_deg"] = ""
		}
		if levelColumns[c] && d.chance(0.35) {
			h[c] = "unknown"
		}
	}
	if never {
		h["last_survey"] = ""
	}
}

// handle writes words the way people do: in their own case, with spaces for
// underscores and around the cell, with labels for ids.
func (d dice) handle(h home) {
	for _, c := range columns {
		v := h[c]
		if v == "" {
			continue
		}
		switch {
		case c == "stone_type":
			if l, ok := labels[v]; ok && d.chance(0.2) {
				h[c] = l
			} else if d.chance(0.06) {
				h[c] = strings.ToUpper(v[:1]) + strings.ReplaceAll(v[1:], "_", " ")
			}
		case c == "climate_zone":
			if d.chance(0.4) {
				h[c] = strings.ToUpper(v)
			}
		case levelColumns[c]:
			h[c] = d.sloppy(v)
		}
	}
}

func (d dice) sloppy(v string) string {
	if !d.chance(0.08) {
		return v
	}
	switch d.IntN(4) {
	case 0:
		return strings.ToUpper(v)
	case 1:
		return v + " "
	case 2:
		return " " + v
	}
	return strings.ToUpper(v[:1]) + strings.ReplaceAll(v[1:], "_", " ")
}
