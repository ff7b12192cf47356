package ingest

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Field names one known inventory column. Category fields hold one of a short
// list of levels; number fields hold an SI number; text fields ride along.
type (
	// Category indexes Building.Cat.
	Category uint8
	// Number indexes Building.Num.
	Number uint8
	// Text indexes Building.Text.
	Text uint8
)

// Category fields. Level 0 of every field means "unknown".
const (
	Exposure Category = iota
	EmbeddedTimber
	ProtectedFacade
	OuterFinish
	Mortar
	JointCondition
	InnerFinish
	InnerCondition
	RainwaterGoods
	GroundMoisture
	Salts
	DrainOutlet
	HumidityClass
	TimberState // what was seen where embedded timber was looked at
	InnerDamp   // signs of damp on the inner face
	NumCategories
)

// Number fields, in SI units. NaN means "not given".
const (
	WallThickness   Number = iota // m
	Orientation                   // degrees clockwise from north that the wall faces
	Height                        // m, eaves height
	Storeys                       // count
	WallArea                      // m², opaque outside wall
	FloorArea                     // m²
	Latitude                      // degrees north
	Longitude                     // degrees east
	Elevation                     // m above sea level
	WaterAbsorption               // kg/(m²·√s), measured A_w of the face
	BuiltYear                     // calendar year
	NumNumbers
)

// Text fields.
const (
	HeatingFuel Text = iota
	LastSurvey       // ISO date
	GroupKey         // sub-total key, for instance a ward or a postcode district
	NumTexts
)

// Building is one inventory row that passed every check.
type Building struct {
	ID      string // of the row, which is one wall
	Home    string // key of the home the wall belongs to, as SameID writes it; "" where the row is a home of its own
	File    int32  // index into Names.Files
	Line    int64  // 1-based line in a CSV file, 1-based row in a Parquet file
	Stone   string
	Zone    string
	Cat     [NumCategories]uint8
	Num     [NumNumbers]float64
	Ranges  []Range // where a cell gave two ends, in order of Of; mostly nil
	Facings Facings // which facings of the home are outside walls; 0 where not known
	Text    [NumTexts]string
	Extra   []string // ride-through cells, by Names.Extras index; "" where absent
}

// text is where a building holds the fact of a column that is kept as text.
func (b *Building) text(c *Column) *string {
	switch c.Kind {
	case KindID:
		return &b.ID
	case KindHome:
		return &b.Home
	case KindStone:
		return &b.Stone
	case KindZone:
		return &b.Zone
	}
	return &b.Text[c.slot]
}

// Gives says whether the fact of a column is known. A word "unknown" gives nothing.
func (b *Building) Gives(c *Column) bool {
	switch c.Kind {
	case KindCategory:
		return b.Cat[c.slot] != 0
	case KindNumber:
		return !math.IsNaN(b.Num[c.slot])
	case KindFacings:
		return b.Facings != 0
	}
	return *b.text(c) != ""
}

// Range is a number known only within two ends, in SI. Building.Num holds the
// middle.
type Range struct {
	Of        Number
	Low, High float64
}

// Range returns the ends between which a number is known, in SI. It reports
// false, and twice the number itself (NaN if not given), where the cell did not
// give two.
func (b *Building) Range(n Number) (low, high float64, given bool) {
	if i := slices.IndexFunc(b.Ranges, func(r Range) bool { return r.Of == n }); i >= 0 {
		return b.Ranges[i].Low, b.Ranges[i].High, true
	}
	return b.Num[n], b.Num[n], false
}

// Reject says why a row, or a whole file, was left out. A row with several
// problems has several Rejects with the same File and Line. Every text in it is
// Printable.
type Reject struct {
	File   string // display name
	Line   int64  // 1-based line in a CSV file, row in a Parquet file; 0 when the whole file is meant
	Column string // as it stands in the file; "" when no single column is to blame
	Field  string // canonical name of the column that the cell was read as; "" when it was not read as one
	Value  string // as found, shortened
	Reason string // what is wrong, and what was expected
	Fix    string // what to do about it
	Known  string // id of the building, if it could be read
	Home   string // key of the home whose wall the row is, if it could be read
	Whole  bool   // the whole file is affected, or all of it from Line on
}

// String is the Reject as one line of text.
func (r Reject) String() string {
	where := r.File
	if r.Line > 0 {
		where += ":" + strconv.FormatInt(r.Line, 10)
	}
	if r.Column != "" {
		where += " " + r.Column
	}
	if r.Value != "" {
		where += fmt.Sprintf(" %q", r.Value)
	}
	return fmt.Sprintf("%s: %s; %s", where, r.Reason, r.Fix)
}

// Cells is the Reject as a row: file, line, id, column, value, reason and fix.
func (r Reject) Cells() []string {
	line := ""
	if r.Line > 0 {
		line = strconv.FormatInt(r.Line, 10)
	}
	return []string{r.File, line, r.Known, r.Column, r.Value, r.Reason, r.Fix}
}

// whole is about the file being read, or all of it from a line on.
func whole(line int64, reason, fix string) *Reject {
	return &Reject{Line: line, Reason: Printable(reason), Fix: fix, Whole: true}
}

// Facings is a set of compass directions in sectors of 22.5°: bit k stands for
// the sector centred on k·22.5°, clockwise from north. 0 means not known.
type Facings uint16

// AllFacings is every direction.
const AllFacings Facings = 0xffff

const sectorWidth = 22.5 // degrees

var compassPoints = strings.Fields("N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW")

// compass holds the 16 points of the compass rose and the words for eight.
var compass = func() map[string]float64 {
	m := map[string]float64{
		"north": 0, "northeast": 45, "east": 90, "southeast": 135,
		"south": 180, "southwest": 225, "west": 270, "northwest": 315,
	}
	for i, p := range compassPoints {
		m[fold(p)] = float64(i) * sectorWidth
	}
	return m
}()

// FacingOf returns the set of the one sector that holds an azimuth, in degrees
// clockwise from north. Any finite angle is accepted.
func FacingOf(azimuth float64) Facings {
	return 1 << (int(math.Floor(azimuth/sectorWidth+0.5)) & 15)
}

// Azimuths lists the centres of the sectors, in degrees clockwise from north,
// 0 first; nil when the set is empty.
func (f Facings) Azimuths() (out []float64) {
	for k := range compassPoints {
		if f&(1<<k) != 0 {
			out = append(out, float64(k)*sectorWidth)
		}
	}
	return out
}

// String names the directions as points of the compass with blanks between
// them, "all" for every one and "" where none is known. A cell of
// exposed_facings may hold it.
func (f Facings) String() string {
	if f == AllFacings {
		return "all"
	}
	var out []string
	for _, a := range f.Azimuths() {
		out = append(out, compassPoints[int(a/sectorWidth)])
	}
	return strings.Join(out, " ")
}

// parseFacings reads a list of points of the compass or of degrees. orientation
// is where the main wall faces, in degrees, NaN if not known: without it, the
// front and the back of a home may face anywhere, and the set stays empty.
func parseFacings(s string, orientation float64) (f Facings, p problem) {
	expected := problem{"points of the compass or degrees were expected, such as N/E/S, 0 90 180, front_back or all",
		"write the facings that are outside walls, or leave the cell blank"}
	switch fold(s) {
	case "all":
		return AllFacings, p
	case "frontback", "frontandback":
		if math.IsNaN(orientation) {
			return 0, p
		}
		return FacingOf(orientation) | FacingOf(orientation+180), p
	case "unknown":
		return 0, p
	}
	words := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" /,;+&\u00a0\t", r) })
	for i, w := range words {
		azimuth, named := compass[fold(w)]
		if !named {
			var err error
			azimuth, err = strconv.ParseFloat(strings.TrimSuffix(w, "°"), 64)
			if err != nil || !(azimuth >= 0 && azimuth <= 360) {
				return 0, expected
			}
		}
		// "north east" in full words, unlike "N E", is how north-east is written too.
		if i > 0 && len(fold(w)) == 4 && len(fold(words[i-1])) == 5 && strings.Contains(s, words[i-1]+" "+w) {
			return 0, problem{fmt.Sprintf("%q could be one direction or two", shorten(s)), "write NE for one direction and N/E for two"}
		}
		f |= FacingOf(azimuth)
	}
	if f == 0 {
		return 0, expected
	}
	return f, p
}
