package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// home is one building: the cell of each column, before anybody mistyped it,
// and under names that are no columns what others are drawn from.
type home map[string]string

// street is what neighbours share.
type street struct {
	name      string
	stone     string
	exposure  string
	form      string
	finish    string
	district  string
	built     int
	azimuth   int // degrees the even side faces
	protected bool
	upkeep    float64
	visited   string // year and month of the survey round
}

func (d dice) street(s settlement, i int) street {
	return street{
		name: s.streets[i], stone: d.pick(s.stones), exposure: d.pick(s.exposure), form: d.pick(s.form), finish: d.pick(s.finish),
		district: s.districts[i%len(s.districts)],
		built:    d.between(s.built[0], s.built[1]), azimuth: d.IntN(360), protected: d.chance(s.protected),
		upkeep: s.upkeep + 0.14*d.NormFloat64(), visited: fmt.Sprintf("%d-%02d", d.between(2009, 2024), d.between(1, 12)),
	}
}

// home draws one building of a street. Age, upkeep, ground and sea spray
// drive its condition; use drives its moisture load.
func (d dice) home(s settlement, st street) home {
	stone, exposure, form, finish := st.stone, st.exposure, st.form, st.finish
	if d.chance(0.22) {
		stone = d.pick(s.stones)
	}
	if d.chance(0.18) {
		exposure = d.pick(s.exposure)
	}
	if d.chance(0.15) {
		form = d.pick(s.form)
	}
	if d.chance(0.45) {
		finish = d.pick(s.finish)
	}
	if st.protected && (finish == "cement_render" || finish == "film_paint") && d.chance(0.75) {
		finish = "bare"
	}
	built := st.built + d.between(-8, 8)
	age := float64(2025-built) / 250 // about 0.4 … 1.1
	upkeep := st.upkeep + 0.12*d.NormFloat64()
	tenancy := d.pick("general needs 62, sheltered 12, shared ownership 12, void 8, community use 4, leased 2")
	if tenancy == "void" {
		upkeep -= 0.2
	}
	joints := upkeep - 0.35*(age-0.6) + 0.12*d.NormFloat64()
	cementPointed := joints > 0.35 && d.chance(0.24)
	gutters := upkeep - 0.15*(age-0.6) + 0.15*d.NormFloat64()
	wet := s.damp + 0.22*d.NormFloat64()
	if gutters < 0.3 {
		wet += 0.15
	}
	h := home{
		"stone_type": stone, "climate_zone": s.zone, "exposure": exposure,
		"wall_thickness_mm": strconv.Itoa(d.thickness(stone, form, age)),
		"embedded_timber":   d.timber(stone, form),
		"protected_facade":  yes(st.protected || d.chance(0.03)),
		"outer_finish":      finish,
		"mortar":            d.mortar(stone, built, cementPointed),
		"joint_condition":   graded(joints, 0.28, 0.55, "open", "weathered", "sound"),
		"rainwater_goods":   graded(gutters, 0.30, 0.58, "defective", "worn", "sound"),
		"ground_moisture":   graded(1-wet, 0.28, 0.62, "wet", "damp", "dry"),
		"salts":             graded(1-0.55*s.salt-0.3*wet+0.16*d.NormFloat64(), 0.33, 0.58, "heavy", "traces", "none"),
		"drain_outlet":      yes(d.chance(0.1 + 0.8*s.slope - 0.15*s.damp)),
		"heating_fuel":      d.pick(s.fuel), "group_key": st.district, "tenancy": tenancy, "built": strconv.Itoa(built),
		"street": fmt.Sprintf("%d %s, %s", d.between(1, 96), st.name, s.name),
	}
	d.inside(h, upkeep, wet, tenancy)
	d.sizes(h, form)
	d.place(h, s, st)
	return h
}

// thickness follows brick sizes for brick and the surveyor's tape for stone.
func (d dice) thickness(stone, form string, age float64) int {
	tall := form == "mill" || form == "tenement"
	switch {
	case stone == "brick_rubble_core":
		return int(roundTo(d.uniform(400, 620), 10))
	case strings.HasPrefix(stone, "brick") && tall:
		return whole(d.pick("337 3, 340 2, 450 4, 460 2, 470 2"))
	case strings.HasPrefix(stone, "brick"):
		return whole(d.pick("225 4, 230 3, 337 3, 340 3, 345 1, 450 1"))
	case strings.HasSuffix(stone, "rubble"):
		mm := 500 + 150*(age-0.5) + 60*d.NormFloat64()
		if tall {
			mm += 80
		}
		return int(min(max(roundTo(mm, float64(whole(d.pick("10 3, 50 2")))), 450), 800))
	}
	return int(min(max(roundTo(430+100*(age-0.5)+55*d.NormFloat64(), 10), 350), 650))
}

func (d dice) timber(stone, form string) string {
	switch {
	case form == "mill":
		return d.pick("joist_ends 56, several 30, none 6, unknown 8")
	case strings.HasPrefix(stone, "brick"):
		return d.pick("joist_ends 52, lintels 12, several 14, bond_timbers 4, none 6, unknown 12")
	case form == "cottage":
		return d.pick("lintels 46, joist_ends 16, several 10, none 12, unknown 16")
	}
	return d.pick("joist_ends 36, lintels 22, several 16, bond_timbers 8, none 6, unknown 12")
}

func (d dice) mortar(stone string, built int, cementPointed bool) string {
	switch {
	case cementPointed || built > 1912 && d.chance(0.5):
		return "cement"
	case strings.HasSuffix(stone, "_rubble") && built < 1850 && d.chance(0.35):
		return "earth"
	}
	return "lime"
}

func (d dice) inside(h home, upkeep, wet float64, tenancy string) {
	h["inner_finish"] = d.pick("lime_plaster 46, gypsum_plaster 38, cement_plaster 10, bare 6")
	if h["inner_finish"] != "bare" {
		score := upkeep - 0.2*(wet-0.4) + 0.14*d.NormFloat64()
		h["inner_condition"] = graded(score, 0.26, 0.46, "loose", "cracked", "sound")
	}
	// Classes of ISO 13788 as a letting officer would put them; common
	// practice, no source.
	h["humidity_class"] = d.pick("2 40, 3 52, 4 8")
	switch tenancy {
	case "void":
		h["humidity_class"] = "1"
	case "community use":
		h["humidity_class"] = d.pick("3 3, 4 5, 5 1")
	}
}

// sizes draws a footprint and keeps the areas consistent with it.
func (d dice) sizes(h home, form string) {
	storeys, width, depth, sides := 2, d.uniform(4.4, 6.4), d.uniform(7.2, 9.8), 0
	switch form {
	case "cottage":
		storeys, width, depth, sides = d.between(1, 2), d.uniform(6.5, 10.5), d.uniform(5, 6.8), d.between(1, 2)
	case "terrace":
		storeys = whole(d.pick("2 6, 3 3"))
		if d.chance(0.2) {
			sides = 1
		}
	case "tenement":
		storeys, width, depth, sides = d.between(3, 4), d.uniform(11, 17), d.uniform(10, 14), d.between(0, 1)
	case "mill":
		storeys, width, depth, sides = d.between(3, 5), d.uniform(22, 44), d.uniform(12, 17), 2
	}
	height := float64(storeys)*d.uniform(2.6, 3.1) + 0.3
	if form == "mill" {
		height += 0.6 * float64(storeys)
	}
	wall := (2*width + float64(sides)*depth) * height * d.uniform(0.70, 0.82)
	floor := width * depth * float64(storeys) * 0.85
	h["sides"] = strconv.Itoa(sides)
	h["storeys"] = strconv.Itoa(storeys)
	h["height_m"] = decimals(height, 1)
	h["wall_area_m2"] = decimals(wall, 0)
	h["floor_area_m2"] = decimals(floor, 0)
}

func (d dice) place(h home, s settlement, st street) {
	facing := st.azimuth + d.between(-6, 6)
	if d.chance(0.5) {
		facing += 180 // the other side of the street
	}
	facing = (facing + 360) % 360
	point := func(degrees int) string {
		return strings.Fields("N NE E SE S SW W NW")[int(math.Round(float64(degrees)/45))%8]
	}
	h["orientation"] = strconv.Itoa(facing)
	if d.chance(0.6) {
		h["orientation"] = point(facing)
	}
	h["outside"] = []string{"front_back", point(facing) + "/" + point(facing+90) + "/" + point(facing+180), "all"}[whole(h["sides"])]
	h["latitude_deg"] = decimals(s.lat+d.uniform(-0.008, 0.008), 4)
	h["longitude_deg"] = decimals(s.lon+d.uniform(-0.012, 0.012), 4)
	h["elevation_m"] = decimals(d.uniform(s.elevation[0], s.elevation[1]), 0)
	h["last_survey"] = fmt.Sprintf("%s-%02d", st.visited, d.between(1, 28))
}

func decimals(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }
