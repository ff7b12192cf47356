package simulate

import (
	"wallsift/model/damage"
)

// Weeks of a course; the last takes the days left over.
const Weeks = 52

// Places of a course.
const (
	PlaceCold   = iota // outer face of the insulation, or inner face of a bare wall
	PlaceTimber        // one for each timber class from here on
	Places      = PlaceTimber + TimberClasses
)

// Outcome is what a case comes to. It holds no pointer. Findings are compared
// with the limits of the case's Params.
type Outcome struct {
	Failed    bool // the engine did not converge: nothing below may be used
	Gathering bool // no yearly state was reached: the wall goes on changing
	Unfrozen  bool // pore water was not let freeze: with ice the engine did not converge
	Insulated bool // there is a face of the insulation to judge
	Years     int32

	SurfaceMould, ColdMould   damage.Finding
	Condensate                damage.Finding
	TimberHumidity, TimberRot [TimberClasses]damage.Finding
	TimberMoisture            [TimberClasses]damage.Finding
	Front                     damage.Finding
	Frost                     damage.FrostYear
	Dried                     float64              // kg/m² of the pulse gone after a year, NaN when not run
	Rain                      float64              // kg/m²a offered to the face
	Taken                     float64              // kg/m²a of it that went into the wall
	Water                     float64              // kg/m², mean over the year in the whole wall
	Rise                      float64              // kg/m²a, change of the stored water over the watched year
	ColdRH                    float64              // highest daily mean at the cold face, 0–1
	Course                    [Places][Weeks]uint8 // weekly mean relative humidity in half percent
	HeatLoss                  float64              // kWh/m²a lost through the inner face
	Steps, Newton, Refused    int64
}

// Humidity returns a week of a course as a relative humidity, 0–1.
func (o *Outcome) Humidity(place, week int) float64 { return float64(o.Course[place][week]) / 200 }
