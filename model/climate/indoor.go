package climate

import (
	"math"

	"wallsift/model/air"
)

// Indoor is a rule that gives the indoor climate from the outdoor one: a humidity
// load in the manner of the classes of ISO 13788:2012 annex A, or one of the two
// occupancies of EN 15026:2007 annex C. Loads run from 1 to MaxLoad in quarters of
// a class, so that Indoor(10) is the middle of class 3 and Indoor(12) its upper
// bound. Any other value, zero among them, acts as that upper bound.
type Indoor uint8

const (
	// LoadSteps are the loads to a class.
	LoadSteps = 4
	// MaxLoad is the upper bound of class 5. The standard leaves that class open
	// above; 0.010 kg/m³ is the top of its figure, from memory.
	MaxLoad Indoor = 5 * LoadSteps
	// The occupancies.
	IndoorNormal = MaxLoad + 1 // normal
	IndoorHigh   = MaxLoad + 2 // high
	// IndoorRules is the length of a list that is indexed by Indoor.
	IndoorRules = int(IndoorHigh) + 1
)

// IndoorTemp is the room temperature of the humidity classes, °C.
const IndoorTemp = 20

// classWidth is the vapour excess in kg/m³, at and below 0 °C outside, by which
// the bounds of neighbouring classes differ.
const classWidth = 0.002

// HumidityLoad returns the load that lies within class 1 to 5: at its lower bound
// for 0, which is the upper one of the class below, at its own for 1. It is rounded
// to a quarter of a class, and never less than one. The classes: 1 unoccupied or
// storage of dry goods, 2 offices and dwellings with normal occupancy and
// ventilation, 3 unknown occupancy, 4 sports halls, kitchens, canteens, 5 special
// buildings such as a laundry or pool.
func HumidityLoad(class int, within float64) Indoor {
	load := math.Round(LoadSteps * (float64(class-1) + within))
	return Indoor(max(1, min(load, float64(MaxLoad))))
}

// Room returns the temperature in °C and the vapour pressure in Pa of a heated room
// without cooling that is kept at theta °C or more, for outdoor air of te (°C) in
// the mean and a vapour pressure of pe (Pa). Under a humidity load it is no cooler
// than the outdoor air, of which the classes say nothing, and the excess falls in a
// straight line to none at 20 °C outside; the EN 15026 rules set their own
// temperature and ignore pe. The vapour pressure never exceeds saturation.
func (i Indoor) Room(theta, te, pe float64) (ti, pi float64) {
	if i == IndoorNormal || i == IndoorHigh {
		ti = 20 + 5*max(0, min((te-10)/10, 1))
		rh := 0.30 + 0.30*max(0, min((te+10)/30, 1))
		if i == IndoorHigh {
			rh += 0.10
		}
		return ti, rh * air.Psat(ti)
	}
	if i < 1 || i > MaxLoad {
		i = 3 * LoadSteps
	}
	fall := 1 - max(0, min(te, IndoorTemp))/IndoorTemp
	ti, pi = max(theta, te), pe+air.VapourPressure(float64(i)/LoadSteps*classWidth*fall, IndoorTemp)
	return ti, min(pi, air.Psat(IndoorTemp), air.Psat(ti))
}

// VapourPressure returns the monthly mean outdoor vapour pressure in Pa, formed
// from the monthly mean temperature and humidity as ISO 13788 allows.
func VapourPressure(s *Station) Months {
	var out Months
	for m := range out {
		out[m] = s.RH[m] * air.Psat(s.Temp[m])
	}
	return out
}
