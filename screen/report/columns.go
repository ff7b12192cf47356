package report

import (
	"fmt"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report/places/geoparquet"
)

// columns lists the columns of the ranking files; every writer follows this
// table, so that a row here is all a new column needs. Ride-through columns
// follow the computed ones; one whose name is taken gets "_inventory" behind it.
// hourly says whether the engine ran.
func columns(e *screen.Engine, u Units, names ingest.Names, hourly bool) []Column {
	strategies, mends, of := e.Choices(), repairSteps(e), shared(e)
	gates := func(by string, text func(config.Gate) string) func(*line) cell {
		return func(l *line) cell { return str(strings.Join(mapped(e.GatesOf(l.j.Gates), text), by)) }
	}
	steps := func(by string, of func(*screen.Judgement) uint64, text func(config.Step) string) func(*line) cell {
		return func(l *line) cell { return str(strings.Join(mapped(e.StepsOf(of(l.j)), text), by)) }
	}
	measure := func(of func(*screen.Judgement) float64) func(*line) cell {
		return govern(func(l *line) cell {
			x, _ := u.Measure(of(l.j), l.j.Governing.In(l.j.Tier).Unit)
			return num(x)
		})
	}
	limitedBy := func(f func(indicator.Info) string) func(*line) cell {
		return only(func(l *line) bool { return l.j.Allowance.Known && !l.j.Allowance.Full }, func(l *line) cell { return str(f(l.j.Allowance.By.Info())) })
	}
	out := []Column{
		{Name: "overall_rank", Label: "Overall rank", Help: "order of the building by its best strategy, 1 first", Brief: true,
			Kind: Whole, get: func(l *line) cell { return count(l.place) }},
		of("building_id", "as in the inventory"),
		{Name: "walls", Label: "Walls", Help: "of a home whose walls have rows of their own; empty where one row stands for the home",
			Kind: Whole, get: func(l *line) cell { return cell{i: int64(len(l.row.Walls)), null: len(l.row.Walls) == 0} }},
		{Name: "wall", Label: "Wall that governs", Help: "of a home of several: the one whose figures these are; the saving is that of all", Inventory: true,
			get: only(func(l *line) bool { return len(l.row.Walls) > 0 }, func(l *line) cell { return str(wallName(&l.row.Walls[l.j.Wall].Building)) })},
		{Name: "wall_by_wall", Label: "Wall by wall", Help: "where the walls of a home have different best strategies: each with its own and the verdict on it", Inventory: true,
			get: func(l *line) cell { return str(wallByWall(strategies, l.row)) }},
		{Name: "wall_measures", Label: "Measure of each wall", Help: "of " + screen.WallByWall.ID + ": for each wall its strategy, the insulation judged in mm and the area in m², between colons; for programs",
			get: func(l *line) cell { return str(wallMeasures(strategies, l.row, l.j)) }, say: func(*line) cell { return cell{null: true} }},
		{Name: "rank_in_building", Label: "Rank in building", Help: "order of the strategies of a building, 1 is its best",
			Kind: Whole, get: func(l *line) cell { return count(l.inside) }},
		of("strategy", "what would be done to the wall"),
		{Name: "rank_in_strategy", Label: "Rank in strategy", Help: "order of the buildings under a strategy, 1 first",
			Kind: Whole, get: func(l *line) cell { return count(l.within) }},
		of("verdict", VerdictRule),
		of("readiness", "for the strategy; empty where it is not to be built and another one is. "+ReadyRule),
		{Name: "governing", ofLimits: true, Label: "Governed by", Help: "the damage measure nearest to its limit or furthest beyond it, typical case", Brief: true,
			get: govern(func(l *line) cell { return str(l.j.Governing.Info().Name) }),
			say: govern(func(l *line) cell { return str(where(l.b, l.j.Governing)) })},
		{Name: "worst_month", ofLimits: true, Label: "Worst month", Help: "of the governing measure, where it has one",
			get: govern(func(l *line) cell { return str(month(l.j.Month)) })},
		{Name: "utilisation", ofLimits: true, Label: "Share of the limit", Help: "demand over limit of the governing measure, typical case; above 1 it is exceeded", Brief: true, Look: ShareLook,
			Kind: Real, Decimals: 3, get: func(l *line) cell { return num(l.j.Typical) }},
		{Name: "utilisation_low", ofLimits: true, Label: "Share of the limit, low", Help: "the same, low end: tenth percentile of the draws where a chance is given, no more than the typical case; else the favourable case of the steady tier", Look: ShareLook,
			Kind: Real, Decimals: 3, get: func(l *line) cell { return num(l.j.Low) }},
		{Name: "utilisation_high", ofLimits: true, Label: "Share of the limit, high", Help: "the same, high end: ninetieth percentile of the draws where a chance is given, cut at 4, and no less than the typical case; else the adverse case of the steady tier", Brief: true, Look: ShareLook,
			Kind: Real, Decimals: 3, get: func(l *line) cell { return num(l.j.High) }},
		{Name: "chance", Label: "Chance that a limit is exceeded", Help: "in the worst year of ten, over draws of what is not known: the range it lies in, near where the other side of a threshold lies within; empty where nothing was drawn", Brief: true,
			get: func(l *line) cell { return str(Chance(l.j)) }},
		{Name: "chance_exceeded", Label: "Chance, best guess", Help: "the same as a number, within the range", Look: ChanceLook,
			Kind: Real, Decimals: 3, get: func(l *line) cell { return cell{f: l.j.Chance, null: l.j.Chance < 0} }},
		{Name: "chance_low", Label: "Chance, low", Help: "the chance is at least this, at the confidence of the configuration (chance.confidence)", Look: ChanceLook,
			Kind: Real, Decimals: 3, get: func(l *line) cell { return cell{f: l.j.ChanceLow, null: l.j.Chance < 0} }},
		{Name: "chance_high", Label: "Chance, high", Help: "and at most this", Look: ChanceLook,
			Kind: Real, Decimals: 3, get: func(l *line) cell { return cell{f: l.j.ChanceHigh, null: l.j.Chance < 0} }},
		{Name: "near_threshold", Label: "Near a threshold", Help: "yes where the chance may lie on the other side of one: more facts may change the verdict",
			get: func(l *line) cell { return yes(l.j.Near) }},
		{Name: "draws", Label: "Draws", Help: "of what is not known, each judged by a run of the engine, that the chance was counted from",
			Kind: Whole, get: func(l *line) cell { return cell{i: int64(l.j.Draws), null: l.j.Chance < 0} }},
		{Name: "facing", ofLimits: true, Label: "Facing", Help: "the facing of the home that governs",
			get: func(l *line) cell { return str(ingest.FacingOf(l.j.Facing).String()) }},
		{Name: "held_back", Label: "Held back at joists", Help: "yes where the lining stops short of the joists, whose ends alone would exceed a limit",
			get: func(l *line) cell { return yes(l.j.HeldBack) }},
		{Name: "mass_loss_percent", ofLimits: true, Label: "Mass lost by rot", Help: "share of its dry mass that timber loses in the typical case, over the settled years and the judged one", Unit: "%",
			Kind: Real, Decimals: 2, get: func(l *line) cell { return cell{f: 100 * l.j.MassLoss, null: l.j.Tier != indicator.Transient} }},
		{Name: "allowance_mm", Label: "Insulation allowance", scale: Insulation, Help: AllowanceRule, Brief: true,
			Kind: Real, Decimals: 0, get: func(l *line) cell { return cell{f: 1000 * l.j.Allowance.Thickness, null: !l.j.Allowance.Known} }},
		{Name: "allowance_r_m2k_w", Label: "R of the insulation allowance", scale: Added, Help: "thermal resistance that thickness adds",
			Kind: Real, Decimals: 2, get: func(l *line) cell { return cell{f: l.j.Allowance.R, null: !l.j.Allowance.Known} }},
		{Name: "allowance_limited_by", Label: "Beyond, first over its limit", Help: "empty where limits are kept over the whole range",
			get: limitedBy(func(i indicator.Info) string { return i.Name }),
			say: limitedBy(func(i indicator.Info) string { return i.Label })},
		{Name: "face_a_w_enough_kg_m2_s05", Label: "Face A_w that is enough", Unit: "kg/(m²·√s)", Help: "the most the face may take up for every limit to be kept in the typical case; sought for the best strategy of a building where it exceeds one; empty where a drier face alone does not help, which the column why says",
			// So many decimals that a stone which takes up little is not printed as 0.
			Kind: Real, Decimals: 6, get: func(l *line) cell { return cell{f: l.j.Drier.Enough, null: l.j.Drier.Enough < 0.5e-6} }},
		{Name: "why", Label: "Why", Help: "what excludes or governs, where and when, and the insulation allowance", Brief: true,
			get: func(l *line) cell {
				return str(strings.Join(Clauses(u, e, l.b, l.j), "") + WallsClause(e, l.row, l.j))
			}},
		{Name: "caution", Label: "Caution", Help: "what must not be forgotten once the row stands alone: the dangers of the strategy, of each wall's where they have their own", Brief: true,
			get: func(l *line) cell { return str(cautioned(strategyDangers(strategies, l.row, l.j))) },
			say: func(l *line) cell { return str(strategyDangers(strategies, l.row, l.j)) }},
		{Name: "worst_date", ofLimits: true, Label: "Worst date", Help: "day and month of the governing measure's worst moment, in the weather of the run",
			get: govern(func(l *line) cell { return str(date(l.j.Day)) })},
		{Name: "wrong_choice", Label: "Chance of a wrong choice", Help: "for this building, by what is known of it",
			Kind: Real, Decimals: 3, get: func(l *line) cell { return cell{f: float64(l.s.Wrong), null: l.s.Wrong < 0} }},
		{Name: "survey_for", Label: "Survey for", Help: "facts whose knowledge cuts the chance of a wrong choice most, with the cut in percent points",
			get: func(l *line) cell { return str(surveyFor(l.s, func(name string) string { return name })) },
			say: func(l *line) cell {
				return str(surveyFor(l.s, func(name string) string { return e.Finding(name).Label }))
			}},
		{Name: "inputs_sha256", Label: "Inputs, SHA-256", Help: "of every fact the building is judged by: equal hashes mean equal facts",
			get: func(l *line) cell { return str(l.row.InputsHash()) }},
		{Name: "governing_adverse", ofLimits: true, Label: "Governed by, high end", Help: "the measure that governs at the high end",
			get: govern(func(l *line) cell { return str(l.j.GoverningHigh.Info().Name) }),
			say: govern(func(l *line) cell { return str(where(l.b, l.j.GoverningHigh)) })},
		{Name: "not_judged", ofLimits: true, Label: "Not judged", Help: "damage measures that apply and have no answer, for a figure of the stone is missing", Brief: true, list: "; ",
			get: func(l *line) cell { return str(strings.Join(notJudged(l.j), "; ")) }},
		{Name: "demand", ofLimits: true, Label: "Demand", Help: "of the governing measure, in its unit",
			Kind: Real, Decimals: 4, get: measure(func(j *screen.Judgement) float64 { return j.Demand })},
		{Name: "limit", ofLimits: true, Label: "Limit", Help: "of the governing measure, in its unit",
			Kind: Real, Decimals: 4, get: measure(func(j *screen.Judgement) float64 { return j.Limit })},
		{Name: "unit", ofLimits: true, Label: "Unit of demand and limit", Help: "1 for ratios",
			get: govern(func(l *line) cell {
				_, unit := u.Measure(0, l.j.Governing.In(l.j.Tier).Unit)
				return str(unit)
			})},
		{Name: "gates", Label: "Rules that act", Help: "on the facts of the building: each excludes the strategy, holds it until a step is done, or asks for a survey", list: " ",
			get: gates(" ", func(g config.Gate) string { return g.ID }), say: gates("; ", gateLabel)},
		{Name: "fix_first", Label: "Before or with the measure", Help: "work that is needed, in order", Brief: true, list: " ",
			get: steps(" ", func(j *screen.Judgement) uint64 { return j.Do }, stepID),
			say: steps("; ", func(j *screen.Judgement) uint64 { return toDo(mends, j, j.Do) }, stepLabel)},
		{Name: "check_on_site", Label: "Investigate first", Help: "what is not known; judged as if it had been put right. " + InvestigateRule, Brief: true, list: " ",
			get: steps(" ", func(j *screen.Judgement) uint64 { return j.Check }, stepID),
			say: steps("; ", func(j *screen.Judgement) uint64 { return toDo(mends, j, j.Check) }, func(s config.Step) string { return ToInvestigate(s, e.Finding) })},
		{Name: "insulation_mm", Label: "Insulation judged", scale: Insulation, Help: "thickness of the sized layer; the saving is for it",
			Kind: Real, Decimals: 0, get: func(l *line) cell { return num(l.j.Thickness * 1000) }},
		{Name: "u_before_w_m2k", Label: "U before", scale: Transmittance, Help: "thermal transmittance of the wall as it is",
			Kind: Real, Decimals: 3, get: func(l *line) cell { return num(l.j.UBefore) }},
		{Name: "u_after_w_m2k", Label: "U after", scale: Transmittance, Help: "thermal transmittance with the strategy",
			Kind: Real, Decimals: 3, get: func(l *line) cell { return num(l.j.UAfter) }},
		{Name: "r_added_m2k_w", Label: "R added", scale: Resistance, Help: "thermal resistance the strategy adds, bridges left out",
			Kind: Real, Decimals: 3, get: func(l *line) cell { return num(l.j.RAdded) }},
		{Name: "saved_kwh_m2a", Label: "Saved", scale: Heat, Help: "heat through the wall, not a fuel bill", Brief: true, Look: BarLook,
			Kind: Real, Decimals: 1, get: func(l *line) cell { return num(l.j.Saved) }},
		{Name: "saved_kwh_a", Label: "Saved, whole wall", scale: Energy, Help: "heat through the wall, not a fuel bill; empty where the inventory gives no wall area", Look: BarLook,
			Kind: Real, Decimals: 0, get: func(l *line) cell { return num(l.j.Saved * l.b.Num[ingest.WallArea]) }},
		{Name: "tier", Label: "Judged by", Help: "the method (steady or transient in files for programs); a rule that excludes a strategy leaves it without figures of limits", Brief: true,
			get: func(l *line) cell { return str(l.j.Tier.String()) },
			say: func(l *line) cell { return str(JudgedBy(l.j)) }},
	}
	factors := e.Config().Energy
	for _, factor := range []struct {
		name, label, unit string
		scale             Quantity
		per               *float64
	}{
		{"saved_cost_a", "Cost saved", Money(&e.Config().Output) + "/a", Quantity{}, factors.PricePerKWh},
		{"saved_co2_kg_a", "CO₂ saved", "", Mass, factors.CarbonPerKWh},
	} {
		if factor.per != nil { // the user's figures, never ours
			out = append(out, Column{Name: factor.name, Label: factor.label, Unit: factor.unit, scale: factor.scale, Help: "by the factor in the configuration",
				Kind: Real, Decimals: 2, get: func(l *line) cell {
					return num(l.j.Saved * l.b.Num[ingest.WallArea] * *factor.per)
				}})
		}
	}
	for id := range indicator.Count {
		info := id.Info()
		out = append(out, Column{Name: "utilisation_" + info.Name, ofLimits: true, Label: "Share of the limit: " + info.Label, Help: "typical case; empty where it does not apply or is not judged; " + compared(id, hourly),
			Look: ShareLook, Kind: Real, Decimals: 3, get: func(l *line) cell {
				u := l.j.Utilisation[id]
				return cell{f: u, null: u < 0}
			}})
	}
	out = append(out, facts(Labels(e.InputOptions().Stones), Labels(e.InputOptions().Zones), names.Files)...)
	out = located(e, names, out)
	return append(out, rideThrough(names, out, geoparquet.Column)...) // ranking.parquet has one of that name
}

// groupColumn is that of the key for sub-totals.
var groupColumn = Column{Name: "group_key", Label: "Group", Inventory: true, get: func(l *line) cell { return str(l.b.Text[ingest.GroupKey]) }}

// shared gives columns that several files have, by name, each file with its own help.
func shared(e *screen.Engine) func(name, help string) Column {
	strategies := e.Choices()
	all := []Column{
		groupColumn,
		{Name: "building_id", Label: "Building", Brief: true, Inventory: true, get: func(l *line) cell { return str(l.b.ID) }},
		{Name: "wall_area_m2", Label: "Wall area", Brief: true, scale: Area, Kind: Real, Decimals: 1, get: func(l *line) cell { return num(l.b.Num[ingest.WallArea]) }},
		{Name: "strategy", Label: "Strategy", Brief: true,
			get: func(l *line) cell { return str(strategies[l.j.Strategy].ID) }, say: func(l *line) cell { return str(strategies[l.j.Strategy].Label) }},
		{Name: "verdict", Label: "Verdict", Brief: true, Look: VerdictLook,
			get: func(l *line) cell { return str(l.j.Verdict.String()) }, say: func(l *line) cell { return str(VerdictWords(e, l.j)) }},
		{Name: "readiness", Label: "Readiness", Brief: true,
			get: only(func(l *line) bool { return l.ready < screen.NumReadiness }, func(l *line) cell { return str(l.ready.String()) })},
	}
	return func(name, help string) Column {
		c := all[slices.IndexFunc(all, func(c Column) bool { return c.Name == name })]
		c.Help = help
		return c
	}
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

// facts lists the columns that repeat what the inventory says, so that two runs
// can be held against each other fact by fact. Their names are those an inventory
// may have. None has a help text: the inventory's own column list has it.
func facts(stones, zones map[string]string, files []string) []Column {
	given := func(name, label string, decimals int, n ingest.Number, scale Quantity) Column {
		factor := 1.0
		if n == ingest.WallThickness {
			factor = 1000
		}
		return Column{Name: name, Label: label, Kind: Real, Decimals: decimals, scale: scale, get: func(l *line) cell { return num(l.b.Num[n] * factor) }}
	}
	out := []Column{
		{Name: "home_id", Label: "Home", Inventory: true, get: func(l *line) cell { return str(l.b.Home) }},
		{Name: "stone_type", Label: "Stone", get: func(l *line) cell { return str(l.b.Stone) }, say: func(l *line) cell { return str(stones[l.b.Stone]) }},
		given("wall_thickness_mm", "Wall thickness", 0, ingest.WallThickness, Thickness),
		{Name: "climate_zone", Label: "Climate zone", get: func(l *line) cell { return str(l.b.Zone) }, say: func(l *line) cell { return str(zones[l.b.Zone]) }},
	}
	for c := range ingest.NumCategories {
		words := c.Levels()
		out = append(out, Column{Name: c.Name(), get: func(l *line) cell { return str(words[l.b.Cat[c]]) },
			say: func(l *line) cell { return str(Named(words[l.b.Cat[c]])) }})
	}
	return append(out,
		given("orientation_deg", "Orientation", 1, ingest.Orientation, Quantity{}), given("height_m", "Height", 2, ingest.Height, Height),
		given("storeys", "Storeys", 0, ingest.Storeys, Quantity{}), given("built_year", "Built", 0, ingest.BuiltYear, Quantity{}),
		given("wall_area_m2", "Wall area", 1, ingest.WallArea, Area), given("floor_area_m2", "Floor area", 1, ingest.FloorArea, Area),
		given("elevation_m", "Elevation", 0, ingest.Elevation, Height),
		given("a_w_kg_m2_s05", "Water absorption A_w", 5, ingest.WaterAbsorption, Quantity{{Unit: "kg/(m²·√s)"}, {Unit: "kg/(m²·√s)"}}),
		Column{Name: "exposed_facings", Label: "Outside walls face", get: func(l *line) cell { return str(l.b.Facings.String()) }},
		given("latitude", "Latitude", 6, ingest.Latitude, Quantity{}), given("longitude", "Longitude", 6, ingest.Longitude, Quantity{}),
		groupColumn,
		Column{Name: "heating_fuel", Label: "Heating fuel", Inventory: true, get: func(l *line) cell { return str(l.b.Text[ingest.HeatingFuel]) }},
		Column{Name: "last_survey", Label: "Last survey", day: true, get: func(l *line) cell { return str(l.b.Text[ingest.LastSurvey]) }},
		Column{Name: "file", Label: "File", Inventory: true, get: func(l *line) cell { return str(files[l.b.File]) }},
		Column{Name: "line", Label: "Line", Kind: Whole, get: func(l *line) cell { return cell{i: l.b.Line} }})
}

// FactHeadings says by name how the columns are headed that repeat what the inventory
// says, in SI.
func FactHeadings() map[string]string {
	out := map[string]string{}
	for _, c := range labelled(facts(nil, nil, nil), SI) {
		out[c.Name] = strings.ToLower(c.Heading()[:1]) + c.Heading()[1:]
	}
	return out
}

// rideThrough are the inventory's own columns. One whose name is taken, by the
// other columns or beside them, gets "_inventory" behind it.
func rideThrough(names ingest.Names, others []Column, beside ...string) (out []Column) {
	taken := append(beside, mapped(others, func(c Column) string { return c.Name })...)
	for i, label := range names.Extras {
		name := label
		for slices.Contains(taken, name) {
			name += "_inventory"
		}
		taken = append(taken, name)
		out = append(out, Column{Name: name, Label: label, Inventory: true, Extra: true,
			get: only(func(l *line) bool { return i < len(l.b.Extra) }, func(l *line) cell { return str(l.b.Extra[i]) })})
	}
	return out
}

// Address returns the places among the ride-through columns of those that say where
// a building is, in the order of output.address. A name that no inventory has is
// left out; OwnColumns says so.
func Address(e *screen.Engine, names ingest.Names) []int {
	out := []int{}
	for _, name := range e.Config().Output.Address {
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
			notes = append(notes, fmt.Sprintf("output.address names %q, which is no column of your own in any inventory and is left out of the address%s", name, ingest.DidYouMean(name, names)))
		}
	}
	if list := slices.DeleteFunc(names, func(n string) bool { return !ingest.NamesAny(n, out.Personal) }); len(list) > 0 {
		notes = append(notes, "These columns may hold personal data and are written out: "+strings.Join(list, ", ")+"; leave them out with output.withhold")
	}
	return notes
}
