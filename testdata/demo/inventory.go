package main

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
)

// column is one column of the inventory.
type column struct {
	name    string
	blank   float64 // share of cells that nobody filled in
	onSite  bool    // known only where a surveyor has been
	level   bool    // takes the word unknown and is written in many ways
	numeric bool    // float64 in the Parquet copy; orientation mixes degrees and points and stays text
}

// columns are the known ones, and at the end three of the association's own.
var columns = []column{
	{name: "building_id"},
	{name: "wall_thickness_mm", numeric: true},
	{name: "stone_type"},
	{name: "climate_zone"},
	{name: "exposure", level: true},
	{name: "embedded_timber", level: true},
	{name: "protected_facade", blank: 0.15, level: true},
	{name: "timber_state"},
	{name: "outer_finish", blank: 0.15, level: true},
	{name: "mortar", blank: 0.38, level: true, onSite: true},
	{name: "joint_condition", blank: 0.20, level: true, onSite: true},
	{name: "inner_finish", blank: 0.30, level: true, onSite: true},
	{name: "inner_condition", blank: 0.34, level: true, onSite: true},
	{name: "inner_damp"},
	{name: "rainwater_goods", blank: 0.22, level: true, onSite: true},
	{name: "ground_moisture", blank: 0.28, level: true, onSite: true},
	{name: "salts", blank: 0.36, level: true, onSite: true},
	{name: "drain_outlet", blank: 0.40, level: true, onSite: true},
	{name: "humidity_class", blank: 0.32, level: true},
	{name: "orientation", blank: 0.16},
	{name: "exposed_facings"},
	{name: "height_m", blank: 0.24, numeric: true},
	{name: "storeys", blank: 0.15, numeric: true},
	{name: "built_year", numeric: true},
	{name: "wall_area_m2", blank: 0.18, numeric: true},
	{name: "floor_area_m2", blank: 0.15, numeric: true},
	{name: "latitude_deg", blank: 0.18, numeric: true},
	{name: "longitude_deg", numeric: true},
	{name: "elevation_m", blank: 0.20, numeric: true},
	{name: "heating_fuel", blank: 0.15},
	{name: "last_survey", blank: 0.18},
	{name: "group_key"},
	{name: "asset_ref"},
	{name: "street"},
	{name: "tenancy"},
}

// labels are how the materials table spells out some of the ids. Surveyors
// copy them now and then.
var labels = map[string]string{
	"granite":             "Granite, ashlar with thin joints",
	"granite_rubble":      "Granite rubble in lime mortar",
	"slate_rubble":        "Slate rubble in lime or earth mortar",
	"sandstone_rubble":    "Sandstone rubble in lime mortar",
	"sandstone_dense":     "Dense sandstone",
	"sandstone_porous":    "Porous sandstone",
	"limestone_rubble":    "Limestone rubble in lime mortar",
	"limestone_soft":      "Limestone, soft",
	"limestone_semi_hard": "Limestone, semi-hard",
	"brick_soft":          "Solid clay brick, soft fired, lime mortar",
	"brick_common":        "Solid clay brick, common, lime mortar",
	"brick_rubble_core":   "Brick skins with a brick rubble core",
}

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
	// Facts that the association began to note later: another draw, so that the
	// rest of the list stays as it was.
	later := dice{rand.New(rand.NewPCG(1874, 2025))}
	for _, h := range homes {
		later.note(h)
	}
	return d.spoil(homes)
}

// note fills in what was looked at on some of the visits of late.
func (d dice) note(h home) {
	h["built_year"], h["exposed_facings"] = h["built"], h["outside"]
	if d.chance(0.25) {
		h["built_year"] = ""
	}
	if d.chance(0.6) {
		h["exposed_facings"] = ""
	}
	damp := strings.TrimSpace(strings.ToLower(h["ground_moisture"])) != "dry"
	looked, signs := d.chance(0.4), d.chance(0.15) || damp && d.chance(0.3)
	if looked && h["last_survey"] != "" {
		h["inner_damp"] = map[bool]string{true: "signs", false: "none"}[signs]
	}
	opened, decayed := d.chance(0.2), d.chance(0.1) || signs && d.chance(0.3)
	if opened && !slices.Contains([]string{"", "none", "unknown"}, strings.TrimSpace(strings.ToLower(h["embedded_timber"]))) {
		h["timber_state"] = map[bool]string{true: "decayed", false: "sound"}[decayed]
	}
}

// forget blanks what nobody recorded; homes never surveyed miss most of what
// only a visit could tell.
func (d dice) forget(h home) {
	at := slices.IndexFunc(columns, func(c column) bool { return c.name == "last_survey" })
	never := d.chance(columns[at].blank)
	for i, c := range columns {
		if i == at || c.blank == 0 {
			continue
		}
		switch {
		case c.onSite && never:
			c.blank = 0.75
		case c.onSite:
			c.blank *= 0.75
		}
		if !d.chance(c.blank) {
			continue
		}
		h[c.name] = ""
		if c.name == "latitude_deg" {
			h["longitude_deg"] = ""
		}
		if c.level && d.chance(0.35) {
			h[c.name] = "unknown"
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
		v := h[c.name]
		spaced := func() string { return strings.ToUpper(v[:1]) + strings.ReplaceAll(v[1:], "_", " ") }
		switch {
		case v == "":
		case c.name == "stone_type":
			if l, ok := labels[v]; ok && d.chance(0.2) {
				h[c.name] = l
			} else if d.chance(0.06) {
				h[c.name] = spaced()
			}
		case c.name == "climate_zone":
			if d.chance(0.4) {
				h[c.name] = strings.ToUpper(v)
			}
		case c.level && d.chance(0.08):
			switch d.IntN(4) {
			case 0:
				h[c.name] = strings.ToUpper(v)
			case 1:
				h[c.name] = v + " "
			case 2:
				h[c.name] = " " + v
			default:
				h[c.name] = spaced()
			}
		}
	}
}
