package ingest

import "slices"

// Kind says how the cells of a column are read.
type Kind uint8

// Kinds of column.
const (
	KindID Kind = iota
	KindHome
	KindStone
	KindZone
	KindCategory
	KindNumber
	KindText
	KindDate
	KindFacings
)

// Unit is one unit a measure can be given in, or one order a date can be
// written in. The suffix is part of the column name: wall_thickness + _mm.
type Unit struct {
	Suffix string  // as in the canonical column name
	Factor float64 // times the value in this unit gives the SI value; 1 for dates
	words  []string
}

// Column is one entry of the catalogue of known columns.
type Column struct {
	Name     string // canonical, without the unit
	Kind     Kind
	Required bool
	Units    []Unit // nil for a column without unit
	// UnitOptional marks columns that may also stand without a unit, which then
	// is the first.
	UnitOptional bool
	Levels       []string // categories: accepted words; Levels[0] is "unknown"
	// KnownOnly marks categories in which "unknown" or a blank is not accepted.
	KnownOnly bool
	Min, Max  float64 // numbers: accepted range in SI, both ends included
	SI        string  // unit of Min and Max
	Help      string  // one sentence

	slot uint8 // Category, Number or Text, by Kind
}

var (
	lengthMM = Unit{"mm", 0.001, []string{"millimetre", "millimetres", "millimeter", "millimeters"}}
	lengthCM = Unit{"cm", 0.01, []string{"centimetre", "centimetres", "centimeter", "centimeters"}}
	lengthM  = Unit{"m", 1, []string{"metre", "metres", "meter", "meters"}}
	lengthIn = Unit{"in", 0.0254, []string{"inch", "inches", "\"", "″"}}
	lengthFt = Unit{"ft", 0.3048, []string{"foot", "feet", "'", "′"}}
	areaM2   = Unit{"m2", 1, []string{"sqm", "m^2", "squaremetres", "squaremeters"}}
	areaFt2  = Unit{"ft2", 0.3048 * 0.3048, []string{"sqft", "ft^2", "squarefeet"}}
	angleDeg = Unit{"deg", 1, []string{"degree", "degrees", "°"}}
	// 1 h^0.5 is 60 s^0.5.
	absS = Unit{"kg_m2_s05", 1, []string{"kg/(m2*s0.5)", "kg/(m2*s^0.5)", "kg/m2s0.5", "kg/m2sqrts", "kg/m2√s"}}
	absH = Unit{"kg_m2_h05", 1.0 / 60, []string{"kg/(m2*h0.5)", "kg/(m2*h^0.5)", "kg/m2h0.5", "kg/m2sqrth", "kg/m2√h"}}
)

func category(c Category, name, help string, levels ...string) *Column {
	return &Column{Name: name, Kind: KindCategory, Levels: append([]string{"unknown"}, levels...), Help: help, slot: uint8(c)}
}

func number(n Number, name, si string, lo, hi float64, help string, units ...Unit) *Column {
	return &Column{Name: name, Kind: KindNumber, Units: units, Min: lo, Max: hi, SI: si, Help: help, slot: uint8(n)}
}

func required(c *Column) *Column     { c.Required = true; return c }
func knownOnly(c *Column) *Column    { c.KnownOnly = true; return c }
func unitOptional(c *Column) *Column { c.UnitOptional = true; return c }

// catalogue is the single list that parsing, help, templates and documents
// are made from. The ranges catch a wrong unit or a slipped digit, they do not
// judge the building: common practice, no source.
var catalogue = []*Column{
	{Name: "building_id", Kind: KindID, Required: true, Help: "unique name of the row, which is one wall; the first good row with an id counts"},
	required(number(WallThickness, "wall_thickness", "m", 0.05, 3, "thickness of the masonry without finishes", lengthMM, lengthCM, lengthM, lengthIn, lengthFt)),
	{Name: "stone_type", Kind: KindStone, Required: true, Help: "material of the wall: an id, label or alias from the materials table"},
	{Name: "climate_zone", Kind: KindZone, Required: true, Help: "climate: a zone code such as 4A, a station id, or an alias"},
	required(knownOnly(category(Exposure, "exposure", "exposure of the wall to driving rain", "sheltered", "moderate", "severe", "very_severe"))),
	required(category(EmbeddedTimber, "embedded_timber", "timber built into the wall; the word unknown is accepted, a blank only through an alias", "none", "joist_ends", "lintels", "bond_timbers", "several")),
	{Name: "home_id", Kind: KindHome, Help: "key of the home where a row is one of its walls; without it every row is a home of its own"},
	category(ProtectedFacade, "protected_facade", "listed or in a conservation area; the inside may be protected too", "yes", "no"),
	category(TimberState, "timber_state", "what was seen where embedded timber was looked at", "sound", "decayed"),
	category(OuterFinish, "outer_finish", "coat on the outer face", "bare", "limewash", "lime_render", "cement_render", "silicate_paint", "film_paint"),
	category(Mortar, "mortar", "binder of the mortar", "lime", "cement", "earth"),
	category(JointCondition, "joint_condition", "state of the outer joints", "sound", "weathered", "open"),
	category(InnerFinish, "inner_finish", "coat on the inner face", "bare", "lime_plaster", "gypsum_plaster", "cement_plaster"),
	category(InnerCondition, "inner_condition", "state of the inner coat", "sound", "cracked", "loose"),
	category(InnerDamp, "inner_damp", "signs of damp on the inner face", "none", "signs"),
	category(RainwaterGoods, "rainwater_goods", "state of gutters and downpipes", "sound", "worn", "defective"),
	category(GroundMoisture, "ground_moisture", "moisture at the wall base", "dry", "damp", "wet"),
	category(Salts, "salts", "salt efflorescence", "none", "traces", "heavy"),
	category(DrainOutlet, "drain_outlet", "whether a drained cavity could run out by gravity", "yes", "no"),
	category(HumidityClass, "humidity_class", "indoor humidity class of ISO 13788", "1", "2", "3", "4", "5"),
	unitOptional(number(Orientation, "orientation", "deg", 0, 360, "compass direction the main wall faces, in degrees from north or as N, NNE … NNW", angleDeg)),
	{Name: "exposed_facings", Kind: KindFacings, Help: "facings of the home that are outside walls, as N/E/S, 0 90 180, front_back or all; the others are ruled out"},
	number(Height, "height", "m", 1, 120, "height of the eaves above the ground", lengthM, lengthFt),
	number(Storeys, "storeys", "", 1, 60, "number of storeys"),
	number(BuiltYear, "built_year", "", 1000, 2100, "year the wall was built"),
	number(WallArea, "wall_area", "m2", 1, 100000, "opaque outside wall", areaM2, areaFt2),
	number(FloorArea, "floor_area", "m2", 5, 500000, "heated floor", areaM2, areaFt2),
	unitOptional(number(Latitude, "latitude", "deg", -90, 90, "decimal degrees, north positive", angleDeg)),
	unitOptional(number(Longitude, "longitude", "deg", -180, 180, "decimal degrees, east positive", angleDeg)),
	number(Elevation, "elevation", "m", -430, 6000, "ground above sea level", lengthM, lengthFt),
	number(WaterAbsorption, "a_w", "kg_m2_s05", 0.0001, 2, "water absorption coefficient A_w measured on the face", absS, absH),
	{Name: "heating_fuel", Kind: KindText, Help: "fuel, carried to the tables", slot: uint8(HeatingFuel)},
	unitOptional(&Column{Name: "last_survey", Kind: KindDate, Units: []Unit{orderYMD, orderDMY, orderMDY},
		Help: "date of the last survey; the header says in which order year, month and day are written, year first where it does not", slot: uint8(LastSurvey)}),
	{Name: "group_key", Kind: KindText, Help: "key for sub-totals, such as a ward", slot: uint8(GroupKey)},
}

// Columns returns the catalogue of known columns in their canonical order.
// The caller owns the outer slice; the inner slices must not be changed.
func Columns() (out []Column) {
	for _, c := range catalogue {
		out = append(out, *c)
	}
	return out
}

// Headers lists the canonical header names a column accepts.
func (c Column) Headers() []string {
	var out []string
	if len(c.Units) == 0 || c.UnitOptional {
		out = append(out, c.Name)
	}
	for _, u := range c.Units {
		out = append(out, c.Name+"_"+u.Suffix)
	}
	return out
}

// acceptsUnknown says whether the word "unknown" may stand in a cell.
func (c *Column) acceptsUnknown() bool {
	return c.Kind == KindCategory && !c.KnownOnly || (c.Kind == KindNumber || c.Kind == KindDate) && !c.Required
}

// Words lists what a category cell may hold.
func (c *Column) Words() []string {
	if c.KnownOnly {
		return c.Levels[1:]
	}
	return append(slices.Clone(c.Levels[1:]), c.Levels[0])
}

var (
	categoryColumn = columnsOf(KindCategory, int(NumCategories))
	numberColumn   = columnsOf(KindNumber, int(NumNumbers))
)

func columnsOf(k Kind, n int) []*Column {
	out := make([]*Column, n)
	for _, c := range catalogue {
		if c.Kind == k {
			out[c.slot] = c
		}
	}
	return out
}

// LookupCategory finds a category field by its canonical name.
func LookupCategory(name string) (Category, bool) { return lookup[Category](categoryColumn, name) }

// LookupNumber finds a number field by its canonical name, without unit.
func LookupNumber(name string) (Number, bool) { return lookup[Number](numberColumn, name) }

func lookup[T ~uint8](list []*Column, name string) (T, bool) {
	i := slices.IndexFunc(list, func(c *Column) bool { return c.Name == name })
	return T(max(i, 0)), i >= 0
}

// Name returns the canonical column name.
func (c Category) Name() string { return categoryColumn[c].Name }

// Levels returns the words of the category by level; Levels()[0] is "unknown".
func (c Category) Levels() []string { return slices.Clone(categoryColumn[c].Levels) }

// Level finds a level by its canonical word.
func (c Category) Level(word string) (uint8, bool) {
	i := slices.Index(categoryColumn[c].Levels, word)
	return uint8(max(i, 0)), i >= 0
}

// Name returns the canonical column name without unit.
func (n Number) Name() string { return numberColumn[n].Name }
