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
	ID    string
	File  int32 // index into Source.Files
	Line  int64 // 1-based line in a CSV file, 1-based row in a Parquet file
	Stone string
	Zone  string
	Cat   [NumCategories]uint8
	Num   [NumNumbers]float64
	Text  [NumTexts]string
	Extra []string // ride-through cells, by Source.ExtraColumns index; "" where absent
}
