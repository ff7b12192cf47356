package screen

import (
	"sync"

	"wallsift/config"
	"wallsift/model/climate"
	"wallsift/model/frost"
	"wallsift/model/indicator"
	"wallsift/model/rain"
	"wallsift/model/simulate"
	"wallsift/model/steady"
)

// orientationStep is the grid in degrees on which driving rain is kept: the
// direction rose is smooth, 5° changes it by less than 1 %.
const orientationStep = 5

// warmingSteps and warmingStep span the heat from inside, in K at 0 °C outside,
// for which frost cycles are kept.
const (
	warmingSteps = 41
	warmingStep  = 0.25
	insideAtZero = 20 // °C, the room that Warming of frost.Face scales with
)

// stoneDiffusivity in m²/s damps the daily swing on its way to the frost depth.
// From memory: 0.5e-6 to 1.5e-6 for masonry.
const stoneDiffusivity = 1e-6

// zone is a climate word of the inventory with all that cases need of its
// station. It is filled on first use and then only read.
type zone struct {
	id      string
	station *climate.Station
	once    sync.Once
	// given is the user's weather file, nil where the hours are generated.
	given  *weather
	hour   sync.Once
	course *simulate.Climate

	months      [climate.IndoorRules][12]steady.Month
	degreeHours float64
	rain        [360 / orientationStep]indicator.Rain
	rainMean    indicator.Rain
	frost       [warmingSteps]float64 // wet cycles a year
}

func (z *zone) fill(cfg *config.Config) {
	z.once.Do(func() {
		s := z.station
		pe := climate.VapourPressure(s)
		for rule := climate.Indoor(1); rule <= climate.IndoorHigh; rule++ {
			for m := range 12 {
				ti, pi := rule.Room(cfg.Indoor.Temperature, s.Temp[m], pe[m])
				z.months[rule][m] = steady.Month{Te: s.Temp[m], Pe: pe[m], Ti: ti, Pi: pi}
			}
		}
		z.degreeHours = climate.HeatingDegreeHours(s, cfg.Energy.BaseTemperature)
		for i := range z.rain {
			z.rain[i] = airfield(rain.AirfieldFromNormals(s, float64(i*orientationStep)))
		}
		z.rainMean = airfield(rain.AirfieldMean(s))
		damping := frost.Damping(cfg.Limits["frost_depth"].Value, stoneDiffusivity)
		for i := range z.frost {
			z.frost[i] = climate.YearSum(frost.WetCrossings(s, frost.Face{Damping: damping, Warming: float64(i) * warmingStep}))
		}
	})
}

func airfield(n rain.Normals) indicator.Rain {
	return indicator.Rain{Annual: n.Annual, Spell: n.Spell, SpellHours: n.SpellHours}
}

// toward returns the airfield rain for a wall that faces degrees.
func (z *zone) toward(degrees float64) indicator.Rain {
	n := len(z.rain)
	i := int(degrees/orientationStep+0.5) % n
	return z.rain[(i+n)%n]
}

// frostCycles returns the wet freeze–thaw cycles a year of a face that keeps
// the given share of the inside–outside difference at the frost depth.
func (z *zone) frostCycles(share float64) float64 {
	x := min(share*insideAtZero/warmingStep, warmingSteps-1)
	i := min(int(x), warmingSteps-2)
	return z.frost[i] + (x-float64(i))*(z.frost[i+1]-z.frost[i])
}
