package ingest

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
	Home    string // key of the home the wall belongs to; "" where the row is a home of its own
	File    int32  // index into Source.Files
	Line    int64  // 1-based line in a CSV file, 1-based row in a Parquet file
	Stone   string
	Zone    string
	Cat     [NumCategories]uint8
	Num     [NumNumbers]float64
	Ranges  []Range // where a cell gave two ends, in order of Of; mostly nil
	Facings Facings // which facings of the home are outside walls; 0 where not known
	Text    [NumTexts]string
	Extra   []string // ride-through cells, by Source.ExtraColumns index; "" where absent
}

// Range is a number known only within two ends, in SI. Building.Num holds the
// middle.
type Range struct {
	Of        Number
	Low, High float64
}

// Range returns the ends between which a number is known. It reports false, and
// twice the number itself (NaN if not given), where the cell did not give two.
func (b *Building) Range(n Number) (low, high float64, given bool) {
	for _, r := range b.Ranges {
		if r.Of == n {
			return r.Low, r.High, true
		}
	}
	return b.Num[n], b.Num[n], false
}
