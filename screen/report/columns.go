package report

import (
	"strings"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report/places/geoparquet"
)

// columns lists the columns of the ranking files; every writer follows this
// table, so that a row here is all a new column needs. Ride-through columns
// follow the computed ones; one whose name is taken gets "_inventory" behind it.
func columns(run *screen.Run, v *vocabulary) []column {
	files := run.Files()
	govern := func(f func(*line) cell) func(*line) cell {
		return func(l *line) cell {
			if !l.j.HasGovern {
				return cell{null: true}
			}
			return f(l)
		}
	}
	limitedBy := func(f func(indicator.Info) string) func(*line) cell {
		return func(l *line) cell {
			if a := l.j.Allowance; a.Known && !a.Full {
				return str(f(a.By.Info()))
			}
			return cell{null: true}
		}
	}
	out := []column{
		{name: "place", label: "Place", help: "order of the building by its best strategy, 1 first", reach: Brief,
			building: true, kind: Whole, get: func(l *line) cell { return count(l.place) }},
		{name: "building_id", label: "Building", help: "as in the inventory", reach: Brief,
			building: true, user: true, get: func(l *line) cell { return str(l.b.ID) }},
		{name: "rank_in_building", label: "Rank in building", help: "order of the strategies of a building, 1 is its best", reach: Deep,
			kind: Whole, get: func(l *line) cell { return count(l.inside) }},
		{name: "strategy", label: "Strategy", help: "what would be done to the wall", reach: Brief,
			get: func(l *line) cell { return str(v.strategies[l.j.Strategy].ID) },
			say: func(l *line) cell { return str(v.strategies[l.j.Strategy].Label) }},
		{name: "rank_in_strategy", label: "Rank in strategy", help: "order of the buildings under a strategy, 1 first",
			kind: Whole, get: func(l *line) cell { return count(l.within) }},
		{name: "verdict", label: "Verdict", help: "suited, suited after repairs, survey first or not suited", reach: Brief, look: VerdictLook,
			get: func(l *line) cell { return str(l.j.Verdict.String()) }},
		{name: "governing", label: "Governed by", help: "the damage measure nearest to its limit or furthest beyond it, typical case", reach: Brief,
			get: govern(func(l *line) cell { return str(l.j.Governing.Info().Name) }),
			say: govern(func(l *line) cell { return str(l.j.Governing.Info().Label) })},
		{name: "worst_month", label: "Worst month", help: "of the governing measure, where it has one",
			get: govern(func(l *line) cell { return str(month(l.j.Month)) })},
		{name: "utilisation", label: "Utilisation", help: "demand as a share of its limit, 1 is at the limit, typical case; 99 is the most that is written", reach: Brief, look: ShareLook,
			kind: Real, decimals: 3, get: func(l *line) cell { return num(l.j.Typical) }},
		{name: "utilisation_low", label: "Utilisation, low", help: "the same, low end: tenth percentile of the draws where a chance is given, cut at 4, and no more than the typical case; else the favourable case of the steady tier", look: ShareLook,
			kind: Real, decimals: 3, get: func(l *line) cell { return num(l.j.Low) }},
		{name: "utilisation_high", label: "Utilisation, high", help: "the same, high end: ninetieth percentile of the draws where a chance is given, cut at 4, and no less than the typical case; else the adverse case of the steady tier", reach: Brief, look: ShareLook,
			kind: Real, decimals: 3, get: func(l *line) cell { return num(l.j.High) }},
		{name: "chance_exceeded", label: "Chance", help: "that a limit is exceeded, over what is not known; share of the draws; empty where none were made", reach: Brief, look: ChanceLook,
			kind: Real, decimals: 3, get: func(l *line) cell { return cell{f: l.j.Chance, null: l.j.Chance < 0} }},
		{name: "chance_low", label: "Chance, low", help: "the chance is at least this, at the confidence of the configuration (chance.confidence)", look: ChanceLook,
			kind: Real, decimals: 3, get: func(l *line) cell { return cell{f: l.j.ChanceLow, null: l.j.Chance < 0} }},
		{name: "chance_high", label: "Chance, high", help: "and at most this", look: ChanceLook,
			kind: Real, decimals: 3, get: func(l *line) cell { return cell{f: l.j.ChanceHigh, null: l.j.Chance < 0} }},
		{name: "near_threshold", label: "Near a threshold", help: "yes where the chance may lie on the other side of one: more facts may change the verdict",
			get: func(l *line) cell { return str(yes(l.j.Near)) }},
		{name: "draws", label: "Draws", help: "engine runs, each with what is not known drawn anew, that the chance was counted from",
			kind: Whole, get: func(l *line) cell {
				if l.j.Chance < 0 {
					return cell{null: true}
				}
				return count(int(l.j.Draws))
			}},
		{name: "facing", label: "Facing", help: "the facing of the home that governs",
			get: func(l *line) cell { return str(Compass(l.j.Facing)) }},
		{name: "held_back", label: "Held back at joists", help: "yes where the lining stops short of the joists, whose ends alone would exceed a limit",
			get: func(l *line) cell { return str(yes(l.j.HeldBack)) }},
		{name: "mass_loss_percent", label: "Mass lost by rot", help: "share of its dry mass that timber loses in the typical case, over the settled years and the judged one", measure: "%",
			kind: Real, decimals: 2, get: func(l *line) cell { return cell{f: 100 * l.j.MassLoss, null: l.j.Tier != indicator.Transient} }},
		{name: "allowance_mm", label: "Allowance", scale: insulation, help: "thickest insulation of the strategy's range that keeps every limit in the typical case, 0 for none", reach: Brief,
			kind: Real, decimals: 0, get: func(l *line) cell { return cell{f: 1000 * l.j.Allowance.Thickness, null: !l.j.Allowance.Known} }},
		{name: "allowance_r_m2k_w", label: "Allowance R", scale: added, help: "thermal resistance that thickness adds",
			kind: Real, decimals: 2, get: func(l *line) cell { return cell{f: l.j.Allowance.R, null: !l.j.Allowance.Known} }},
		{name: "allowance_limited_by", label: "Allowance limited by", help: "the measure first over its limit beyond the allowance; empty where the whole range is allowed",
			get: limitedBy(func(i indicator.Info) string { return i.Name }),
			say: limitedBy(func(i indicator.Info) string { return i.Label })},
		{name: "face_a_w_enough_kg_m2_s05", label: "Face A_w that is enough", measure: "kg/(m²·s½)", help: "the most the face may take up for every limit to be kept in the typical case; sought for the best strategy of a building where it exceeds one, 0 where a drier face alone does not help",
			kind: Real, decimals: 4, get: func(l *line) cell { return cell{f: l.j.Drier.Enough, null: !l.j.Drier.Sought} }},
		{name: "why", label: "Why", help: "what governs, where and when, and what the wall takes", reach: Brief,
			get: func(l *line) cell { return str(strings.Join(clauses(&siUnits, v.e, l.j), "")) },
			in:  func(_ *units, l *line) cell { return str(Sentence(v.e, l.j)) }},
		{name: "worst_date", label: "Worst date", help: "day and month of the governing measure's worst moment, in the weather of the run",
			get: govern(func(l *line) cell {
				if l.j.Day < 0 {
					return str("")
				}
				return str(date(l.j.Day))
			})},
		{name: "wrong_choice", label: "Chance of a wrong choice", help: "for this building, by what is known of it",
			building: true, kind: Real, decimals: 3, get: func(l *line) cell { return cell{f: float64(l.s.Wrong), null: l.s.Wrong < 0} }},
		{name: "survey_for", label: "Survey for", help: "facts whose knowledge cuts the chance of a wrong choice most, with the cut in percent points", building: true,
			get: func(l *line) cell { return str(surveyFor(l.s)) }},
		{name: "inputs_sha256", label: "Inputs, SHA-256", help: "of every fact the building is judged by: equal hashes mean equal facts", building: true, reach: Deep,
			get: func(l *line) cell { return str(screen.InputsHash(l.b)) }},
		{name: "governing_adverse", label: "Governed by, high", help: "the measure that governs at the high utilisation", reach: Deep,
			get: govern(func(l *line) cell { return str(l.j.GoverningHigh.Info().Name) }),
			say: govern(func(l *line) cell { return str(l.j.GoverningHigh.Info().Label) })},
		{name: "demand", label: "Demand", help: "of the governing measure, in its unit", reach: Deep,
			kind: Real, decimals: 4, get: govern(func(l *line) cell { return num(l.j.Demand) }),
			in: measured(func(l *line) float64 { return l.j.Demand })},
		{name: "limit", label: "Limit", help: "of the governing measure, in its unit", reach: Deep,
			kind: Real, decimals: 4, get: govern(func(l *line) cell { return num(l.j.Limit) }),
			in: measured(func(l *line) float64 { return l.j.Limit })},
		{name: "unit", label: "Unit of demand and limit", help: "1 for ratios", reach: Deep,
			get: govern(func(l *line) cell { return str(governingUnit(l)) }),
			in: func(u *units, l *line) cell {
				if !l.j.HasGovern {
					return cell{null: true}
				}
				_, unit := u.measure(l.j.Demand, governingUnit(l))
				return str(unit)
			}},
		{name: "gates", label: "Gates", help: "rules that acted on the facts of the building",
			get: func(l *line) cell { return str(v.gateIDs(l.j.Gates)) },
			say: func(l *line) cell { return str(v.gateLabels(l.j.Gates)) }},
		{name: "fix_first", label: "Fix first", help: "work that is needed before the strategy, in order", reach: Brief,
			get: func(l *line) cell { return str(v.stepIDs(l.j.Do)) },
			say: func(l *line) cell { return str(v.stepLabels(l.j.Do)) }},
		{name: "check_on_site", label: "Check on site", help: "not known; judged as if it had been looked at and put right", reach: Brief,
			get: func(l *line) cell { return str(v.stepIDs(l.j.Check)) },
			say: func(l *line) cell { return str(v.stepLabels(l.j.Check)) }},
		{name: "insulation_mm", label: "Insulation", scale: insulation, help: "thickness of the sized layer",
			kind: Real, decimals: 0, get: func(l *line) cell { return num(l.j.Thickness * 1000) }},
		{name: "u_before_w_m2k", label: "U before", scale: transmittance, help: "thermal transmittance of the wall as it is",
			kind: Real, decimals: 3, get: func(l *line) cell { return num(l.j.UBefore) }},
		{name: "u_after_w_m2k", label: "U after", scale: transmittance, help: "thermal transmittance with the strategy",
			kind: Real, decimals: 3, get: func(l *line) cell { return num(l.j.UAfter) }},
		{name: "r_added_m2k_w", label: "R added", scale: resistance, help: "thermal resistance the strategy adds", reach: Deep,
			kind: Real, decimals: 3, get: func(l *line) cell { return num(l.j.RAdded) }},
		{name: "saved_kwh_m2a", label: "Saved", scale: heat, help: "heat saved each year for each square metre of wall", reach: Brief, look: BarLook,
			kind: Real, decimals: 1, get: func(l *line) cell { return num(l.j.Saved) }},
		{name: "saved_kwh_a", label: "Saved, whole wall", scale: energy, help: "empty where the inventory gives no wall area", look: BarLook,
			kind: Real, decimals: 0, get: func(l *line) cell { return num(l.j.Saved * l.b.Num[ingest.WallArea]) }},
		{name: "tier", label: "Tier", help: "the method that judged", reach: Brief, get: func(l *line) cell { return str(l.j.Tier.String()) }},
	}
	factors := v.e.Energy()
	for _, factor := range []struct {
		name, label, measure string
		scale                func(*units) Scale
		per                  *float64
	}{
		{"saved_cost_a", "Cost saved", "currency of the configuration/a", nil, factors.PricePerKWh},
		{"saved_co2_kg_a", "CO₂ saved", "", mass, factors.CarbonPerKWh},
	} {
		if factor.per != nil { // the user's figures, never ours
			out = append(out, column{name: factor.name, label: factor.label, measure: factor.measure, scale: factor.scale, help: "by the factor in the configuration",
				kind: Real, decimals: 2, get: func(l *line) cell {
					return num(l.j.Saved * l.b.Num[ingest.WallArea] * *factor.per)
				}})
		}
	}
	for id := range indicator.Count {
		info := id.Info()
		out = append(out, column{name: "utilisation_" + info.Name, label: "Utilisation: " + info.Label, help: "typical case; " + compared(id, run.Cases > 0),
			reach: Deep, look: ShareLook, kind: Real, decimals: 3, get: func(l *line) cell {
				u := l.j.Utilisation[id]
				return cell{f: u, null: u < 0}
			}})
	}
	out = append(out, facts(files)...)
	return append(out, rideThrough(run, out, geoparquet.Column)...) // ranking.parquet has one of that name
}

// compared says what an indicator holds against what. A run of the transient tier
// has rows of the steady one as well: those that a gate excludes.
func compared(id indicator.ID, hourly bool) string {
	of := func(t indicator.Tier) string {
		if info := id.In(t); info.Demand != "" {
			return info.Demand + " over " + info.Limit
		}
		return "not judged"
	}
	if !hourly {
		return of(indicator.Steady)
	}
	return "transient tier: " + of(indicator.Transient) + "; steady tier: " + of(indicator.Steady)
}

// facts lists the columns that repeat what the inventory says. None has a help
// text: the inventory's own column list has it.
func facts(files []string) []column {
	return []column{
		{building: true, name: "stone_type", label: "Stone", get: func(l *line) cell { return str(l.b.Stone) }},
		{building: true, name: "wall_thickness_mm", label: "Wall thickness", scale: thickness, kind: Real, decimals: 0, get: func(l *line) cell { return num(l.b.Num[ingest.WallThickness] * 1000) }},
		{building: true, name: "climate_zone", label: "Climate zone", get: func(l *line) cell { return str(l.b.Zone) }},
		{building: true, name: "exposure", label: "Exposure", get: level(ingest.Exposure)},
		{building: true, name: "embedded_timber", label: "Embedded timber", get: level(ingest.EmbeddedTimber)},
		deep(ingest.ProtectedFacade), deep(ingest.OuterFinish), deep(ingest.Mortar), deep(ingest.JointCondition), deep(ingest.InnerFinish), deep(ingest.InnerCondition),
		deep(ingest.RainwaterGoods), deep(ingest.GroundMoisture), deep(ingest.Salts), deep(ingest.DrainOutlet), deep(ingest.HumidityClass),
		given("orientation_deg", 1, ingest.Orientation), given("height_m", 2, ingest.Height), given("storeys", 0, ingest.Storeys),
		given("wall_area_m2", 1, ingest.WallArea), given("floor_area_m2", 1, ingest.FloorArea), given("elevation_m", 0, ingest.Elevation), given("a_w_kg_m2_s05", 5, ingest.WaterAbsorption),
		{building: true, name: "latitude", label: "Latitude", measure: "°N", kind: Real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Latitude]) }},
		{building: true, name: "longitude", label: "Longitude", measure: "°E", kind: Real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Longitude]) }},
		{building: true, name: "group_key", label: "Group", user: true, get: func(l *line) cell { return str(l.b.Text[ingest.GroupKey]) }},
		{building: true, name: "heating_fuel", label: "Heating fuel", user: true, get: func(l *line) cell { return str(l.b.Text[ingest.HeatingFuel]) }},
		{building: true, name: "last_survey", label: "Last survey", get: func(l *line) cell { return str(l.b.Text[ingest.LastSurvey]) }},
		{building: true, name: "file", label: "File", reach: Deep, user: true, get: func(l *line) cell { return str(files[l.b.File]) }},
		{building: true, name: "line", label: "Line", reach: Deep, kind: Whole, get: func(l *line) cell { return cell{i: l.b.Line} }},
	}
}

// deep is the column of a category of the inventory, and given that of a number:
// where all columns stand, so that two runs can be held against each other fact
// by fact. The names are those an inventory may have.
func deep(c ingest.Category) column {
	return column{building: true, name: c.Name(), reach: Deep, get: level(c)}
}

func given(name string, decimals int, n ingest.Number) column {
	return column{building: true, name: name, reach: Deep, kind: Real, decimals: decimals, get: func(l *line) cell { return num(l.b.Num[n]) }}
}

// rideThrough are the inventory's own columns. One whose name is taken, by the
// other columns or beside them, gets "_inventory" behind it.
func rideThrough(run *screen.Run, others []column, beside ...string) (out []column) {
	taken := map[string]bool{}
	for _, name := range beside {
		taken[name] = true
	}
	for _, c := range others {
		taken[c.name] = true
	}
	for i, label := range run.ExtraColumns() {
		name := label
		for taken[name] {
			name += "_inventory"
		}
		taken[name] = true
		out = append(out, column{building: true, name: name, label: label, user: true, get: func(l *line) cell {
			if i >= len(l.b.Extra) {
				return cell{null: true}
			}
			return str(l.b.Extra[i])
		}})
	}
	return out
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}
