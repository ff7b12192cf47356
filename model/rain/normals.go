package rain

import (
	"math"

	"wallsift/model/climate"
)

// Assumptions of the estimate from normals. All are choices of this tool, from
// memory of hourly records; none is in a standard.
const (
	// rainyWind: it blows harder while it rains; 1.2 in north-west Europe.
	rainyWind = 1.2
	// hoursScale and hoursPower: rain hours of a wet day grow with the depth d
	// (mm) of its rain, 2.2·d^0.6: 6 h at 5.5 mm (London), 10 h at 12 mm (Bergen).
	hoursScale, hoursPower = 2.2, 0.6
	// Showers: hours halve in a straight line between these monthly means, °C.
	showerFrom, showerTo = 10, 22
	// Within a wet month the hourly depths spread like an exponential
	// distribution; the mean of x^(8/9) is then Γ(17/9) = 0.960 of mean^(8/9).
	concave = 0.960
	// roseKappa is the von Mises concentration of the rain-bearing wind about
	// Station.RainFrom: the wall facing it catches 1.8 times the mean over all
	// orientations, the wall facing away a third.
	roseKappa = 1.0
	// spellShare: share of the driving rain of the mean wettest month that falls
	// in one spell of the sort met once in three years.
	spellShare = 0.8
	sectors    = 36
)

// Normals is the airfield driving rain of one orientation, estimated from
// monthly normals.
type Normals struct {
	Annual     float64        // l/m²a
	Monthly    climate.Months // l/m² a month
	Spell      float64        // l/m² in the worst spell of about three years
	SpellHours float64        // h of rain on the wall in that spell
}

// AirfieldFromNormals estimates the airfield index for a wall facing orientation
// (degrees clockwise from north) from the monthly rain, rain days, wind and
// rain direction of a station; snow does not count. It is an estimate, good to
// a factor of about 1.5: prefer AirfieldIndex where hours exist. It allocates
// nothing.
func AirfieldFromNormals(s *climate.Station, orientation float64) Normals {
	toward, share := rose(s.RainFrom, orientation)
	return estimate(s, toward, share)
}

// AirfieldMean estimates the airfield index averaged over all orientations, for
// a wall whose orientation is not known.
func AirfieldMean(s *climate.Station) Normals {
	return estimate(s, 1/math.Pi, 0.5)
}

func estimate(s *climate.Station, toward, share float64) Normals {
	var n Normals
	wettest := 0
	for m := range 12 {
		n.Monthly[m] = openRain(s, m) * toward
		n.Annual += n.Monthly[m]
		if n.Monthly[m] > n.Monthly[wettest] {
			wettest = m
		}
	}
	n.Spell = spellShare * n.Monthly[wettest]
	n.SpellHours = spellShare * RainHours(s, wettest) * share
	return n
}

// openRain is the month's driving rain on a face that always turns into the
// wind, l/m².
func openRain(s *climate.Station, m int) float64 {
	hours := RainHours(s, m)
	if hours == 0 {
		return 0
	}
	intensity := s.Rain[m] * climate.LiquidShare(s.Temp[m]) / hours
	return concave * hours * hourly(rainyWind*s.Wind[m], intensity)
}

// RainHours estimates the hours of rain (not snow) in month m (0–11).
func RainHours(s *climate.Station, m int) float64 {
	if s.RainDays[m] <= 0 || s.Rain[m] <= 0 {
		return 0
	}
	a := min(hoursScale*math.Pow(s.Rain[m]/s.RainDays[m], hoursPower), 24)
	shower := max(0, min((s.Temp[m]-showerFrom)/(showerTo-showerFrom), 1))
	return a * (1 - 0.5*shower) * s.RainDays[m] * climate.LiquidShare(s.Temp[m])
}

// rose returns the mean of the positive cosine between wind and wall over the
// directions of rain-bearing wind, and the share of directions that reach it.
func rose(from, orientation float64) (toward, share float64) {
	total := 0.0
	for i := range sectors {
		d := (float64(i) + 0.5) * 360 / sectors
		w := math.Exp(roseKappa * facing(d, from))
		total += w
		if c := facing(d, orientation); c > 0 {
			toward += w * c
			share += w
		}
	}
	return toward / total, share / total
}
