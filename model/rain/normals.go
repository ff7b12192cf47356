package rain

import (
	"math"

	"wallsift/model/climate"
)

// Assumptions of the estimate from normals; none is in a standard. What names no
// record is a choice of this tool.
const (
	// RainyWind: it blows harder while it rains. Wind weighted by depth^(8/9) over
	// the month's mean: Dublin 1.04, Boston 1.13, Chicago 1.19, Seattle 1.20,
	// Belmullet 1.21, New York 1.30, Quillayute 1.59; their mean.
	RainyWind = 1.23
	// hoursScale and HoursPower: hours with 0.1 mm or more of a wet day grow with
	// the depth d (mm) of its rain, 3·d^0.6. The scale is set after Belmullet (8.3 h
	// at 5.6 mm) and Dublin (6.8 h at 5.1 mm), the power is from memory.
	hoursScale, HoursPower = 3.0, 0.6
	// Showers: hours halve in a straight line between these monthly means, °C.
	showerFrom, showerTo = 10, 22
	// Within a wet month the hourly depths spread like those of package hourly, for
	// which the mean of x^(8/9) is 0.947 of mean^(8/9), by integration.
	concave = 0.947
	// spellShare: share of the driving rain of the mean wettest month that falls
	// in one spell of the sort met once in three years.
	spellShare = 0.8
)

// Normals is the airfield driving rain of one orientation, estimated from
// monthly normals.
type Normals struct {
	Annual     float64 // l/m²a
	Spell      float64 // l/m² in the worst spell of about three years
	SpellHours float64 // h of rain on the wall in that spell
}

// AirfieldFromNormals estimates the airfield index for a wall facing orientation
// (degrees clockwise from north) from the monthly rain, rain days, wind and
// rain direction of a station; snow does not count. It is an estimate, good to
// a factor of about 1.5. It allocates nothing.
func AirfieldFromNormals(s *climate.Station, orientation float64) Normals {
	toward, share := rose(orientation-s.RainFrom, s.RainSigma())
	return estimate(s, toward, share)
}

func estimate(s *climate.Station, toward, share float64) Normals {
	var n Normals
	most, wettest := 0.0, 0
	for m := range 12 {
		month := openRain(s, m) * toward
		n.Annual += month
		if month > most {
			most, wettest = month, m
		}
	}
	n.Spell = spellShare * most
	n.SpellHours = spellShare * RainHours(s, wettest) * share
	return n
}

// openRain is the month's driving rain on a face that always turns into the wind,
// l/m². Each of its hours of rain r (mm) in wind v (m/s at 10 m, open country) drives
// (2/9)·v·r^(8/9) onto it. Source: ISO 15927-3:2009, clause 4.
func openRain(s *climate.Station, m int) float64 {
	hours := RainHours(s, m)
	if hours == 0 {
		return 0
	}
	intensity := s.Rain[m] * climate.LiquidShare(s.Temp[m]) / hours
	return concave * hours * (2.0 / 9 * (RainyWind * s.Wind[m]) * math.Pow(intensity, 8.0/9))
}

// RainHours estimates the hours of rain (not snow) in month m (0–11).
func RainHours(s *climate.Station, m int) float64 {
	if s.RainDays[m] <= 0 || s.Rain[m] <= 0 {
		return 0
	}
	a := min(hoursScale*math.Pow(s.Rain[m]/s.RainDays[m], HoursPower), 24)
	return a * (1 - 0.5*ShowerShare(s.Temp[m])) * s.RainDays[m] * climate.LiquidShare(s.Temp[m])
}

// ShowerShare is the share (0–1) of rain that falls in showers in a month of the
// given mean temperature, °C.
func ShowerShare(temp float64) float64 {
	return max(0, min((temp-showerFrom)/(showerTo-showerFrom), 1))
}

// rose returns the mean of the positive cosine between wind and wall over the
// directions of rain-bearing wind, and the share of directions that reach the wall,
// for a wrapped normal distribution of the given spread about a direction off the
// wall's; both in degrees. The two are Fourier series: that of max(0, cos) and of
// its sign, each term times the distribution's exp(−n²σ²/2).
func rose(off, spread float64) (toward, share float64) {
	off *= math.Pi / 180
	spread *= math.Pi / 180
	term := func(n float64) float64 { return math.Exp(-n*n*spread*spread/2) * math.Cos(n*off) }
	toward, share = 1/math.Pi+term(1)/2, 0.5
	sign := 1.0
	for n := 1.0; n <= 20; n++ {
		toward += sign * 2 / math.Pi / (4*n*n - 1) * term(2*n)
		share += sign * 2 / math.Pi / (2*n - 1) * term(2*n-1)
		sign = -sign
	}
	return max(0, toward), max(0, min(share, 1))
}
