package simulate

import "wallsift/model/damage"

// Weeks of a course; the last takes the days left over.
const Weeks = 52

// Places of a course.
const (
	PlaceCold   = iota // outer face of the insulation, or inner face of a bare wall
	PlaceTimber        // one for each timber class from here on
	NumPlaces   = PlaceTimber + TimberClasses
)

// Outcome is what a case comes to: demands, never limits, so that a changed limit
// needs no new run. It holds no pointer and may be kept as it is. Unless said
// otherwise its figures are of the judged year.
type Outcome struct {
	Failed    bool // the engine did not converge: nothing below may be used
	Unsettled bool // the mean years allowed were over before the wall repeated its year
	Gathering bool // unsettled, and the wall went on gaining water
	Unfrozen  bool // pore water was not let freeze: with ice the engine did not converge
	Insulated bool // there is a face of the insulation to judge
	Years     int32

	CornerMould, ColdMould damage.Peak                       // mould index in corners and at the cold face, mean years included
	Condensate             damage.Peak                       // kg/m² in the lining beyond 80 % relative humidity
	LiningAw               float64                           // kg/(m²·√s) of the insulation
	Reserve                damage.Peak                       // drying reserve of the critical face, kg/m²a
	TimberHumidity         [TimberClasses][]damage.TimberDay // that may be the worst
	TimberMoisture         [TimberClasses]damage.Peak        // kg/kg
	TimberActivation       [TimberClasses]damage.Peak        // 0–1, mean years included
	TimberLoss             [TimberClasses]float64            // share of dry mass lost after the mean years and the judged one, 0–1
	Front                  damage.Peak                       // m
	Masonry                float64                           // m, thickness
	Frost                  damage.FrostYear

	Rain     float64                 // kg/m²a offered to the face
	Taken    float64                 // kg/m²a of it that went into the wall
	Water    float64                 // kg/m², mean over the year in the whole wall
	Rise     float64                 // kg/m²a, change of the stored water over the last mean year
	ColdRH   float64                 // highest daily mean at the cold face, 0–1
	HeatLoss float64                 // kWh/m²a lost through the inner face
	Course   [NumPlaces][Weeks]uint8 // weekly mean relative humidity in half percent

	Steps, Newton, Refused int64 // of all years
}
