package rain

import (
	"math"

	"wallsift/model/climate"
)

// AirfieldMean estimates the airfield index averaged over all orientations.
func AirfieldMean(s *climate.Station) Normals { return estimate(s, 1/math.Pi, 0.5) }
