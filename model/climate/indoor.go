package climate

import "wallsift/model/air"

// Indoor is a published rule that gives the indoor climate from the outdoor one.
type Indoor uint8

// The rules. The five humidity classes are those of ISO 13788:2012 annex A; the
// two occupancies those of EN 15026:2007 annex C.
const (
	IndoorClass1 Indoor = iota + 1 // unoccupied buildings, storage of dry goods
	IndoorClass2                   // offices, dwellings with normal occupancy and ventilation
	IndoorClass3                   // buildings with unknown occupancy
	IndoorClass4                   // sports halls, kitchens, canteens
	IndoorClass5                   // special buildings: laundry, brewery, pool
	IndoorNormal                   // EN 15026, normal occupancy
	IndoorHigh                     // EN 15026, high occupancy
)

// IndoorTemp is the room temperature of the humidity classes, °C.
const IndoorTemp = 20

// excess is the upper bound of the vapour excess in kg/m³ at and below 0 °C
// outside. The standard leaves class 5 open above; 0.010 is the top of its
// figure, from memory.
var excess = [...]float64{IndoorClass1: 0.002, IndoorClass2: 0.004, IndoorClass3: 0.006, IndoorClass4: 0.008, IndoorClass5: 0.010}

// At returns the room temperature in °C and vapour pressure in Pa for outdoor
// air at te (°C) with vapour pressure pe (Pa). The humidity classes use their
// upper bound, as the standard recommends, falling in a straight line to no
// excess at 20 °C outside; the EN 15026 rules ignore pe. The vapour pressure
// never exceeds saturation. Any other Indoor acts as IndoorClass3.
func (i Indoor) At(te, pe float64) (ti, pi float64) {
	if i == IndoorNormal || i == IndoorHigh {
		return en15026(te, i == IndoorHigh)
	}
	if i < IndoorClass1 || i > IndoorHigh {
		i = IndoorClass3
	}
	fall := 1 - max(0, min(te, IndoorTemp))/IndoorTemp
	pi = pe + air.VapourPressure(excess[i]*fall, IndoorTemp)
	return IndoorTemp, min(pi, air.Psat(IndoorTemp))
}

// Room returns the air of a heated room without cooling that is kept at theta °C
// or more: under the humidity classes it is no cooler than the outdoor mean te,
// of which the classes say nothing. The EN 15026 rules set their own temperature.
func (i Indoor) Room(theta, te, pe float64) (ti, pi float64) {
	ti, pi = i.At(te, pe)
	if i <= IndoorClass5 {
		ti = max(theta, te)
		pi = min(pi, air.Psat(ti))
	}
	return ti, pi
}

func en15026(te float64, high bool) (ti, pi float64) {
	ti = 20 + 5*max(0, min((te-10)/10, 1))
	rh := 0.30 + 0.30*max(0, min((te+10)/30, 1))
	if high {
		rh += 0.10
	}
	return ti, rh * air.Psat(ti)
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
