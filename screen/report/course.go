package report

import (
	"fmt"
	"strings"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
	"wallsift/screen"
)

// hourlyFigures sums up the transient tier's run of a wall.
func hourlyFigures(u *Units, e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	h := w.Hourly
	o := &h.Outcome
	t := Table{Name: "hourly", Title: "The year with the strategy, hour by hour", Columns: []string{"figure", "with the strategy", "wall as it is"}, Note: strings.Join(Clauses(u, e, b, &w.Judgement), "")}
	add := func(name, after, before string) { t.Rows = append(t.Rows, []string{name, after, before}) }
	bare := &h.Before
	add("weather", h.Weather, h.Weather)
	add("facing that governs, of "+Counted(int(w.Judgement.Facings), "facing")+" judged", ingest.FacingOf(w.Judgement.Facing).String(), ingest.FacingOf(w.Judgement.Facing).String())
	add("driving rain that stays on the face, kg/(m²·a)", fixed(o.Rain, 0), fixed(bare.Rain, 0))
	add("of it that does not run off, kg/(m²·a)", fixed(o.Taken, 0), fixed(bare.Taken, 0))
	add("water in the wall, mean, kg/m²", fixed(o.Water, 1), fixed(bare.Water, 1))
	if o.Insulated {
		add("highest daily humidity at the cold face of the insulation, %", fixed(100*o.ColdRH, 0), "")
		add("highest daily humidity at the inner face, %", "", fixed(100*bare.ColdRH, 0))
	} else {
		add("highest daily humidity at the inner face, %", fixed(100*o.ColdRH, 0), fixed(100*bare.ColdRH, 0))
	}
	add("frosts "+fixed(1000*w.Monthly.Limits.FrostDepth, 0)+" mm behind the face", fixed(o.Frost.Frosts, 0), fixed(bare.Frost.Frosts, 0))
	add("of them above the critical filling of the stone", cycles(o.Frost.Cycles), cycles(bare.Frost.Cycles))
	add("filling of its pores in the fullest frost, % of capillary saturation", fixed(100*float64(o.Frost.Fullest[0].Filling), 0), fixed(100*float64(bare.Frost.Fullest[0].Filling), 0))
	if o.Insulated {
		add("drying reserve of the critical face, kg/(m²·a)", fixed(o.Reserve.Value, 2), "")
	}
	if k := h.Place - simulate.PlaceTimber; w.Results[1][indicator.TimberHumidity].Applies {
		add("highest moisture content of a timber end, % (caution at 20)", fixed(100*o.TimberMoisture[k].Value, 0), fixed(100*bare.TimberMoisture[k].Value, 0))
		add("dry mass lost by rot after the settled years and the judged one, %", fixed(100*o.TimberLoss[k], 1), fixed(100*bare.TimberLoss[k], 1))
	}
	add("years until the wall repeated its year", fmt.Sprint(o.Years), fmt.Sprint(bare.Years))
	if w.Judgement.Chance >= 0 {
		add("chance that a limit is exceeded, from "+Counted(int(w.Judgement.Draws), "draw"), Chance(&w.Judgement), "")
	}
	if o.Unfrozen {
		add("note", "run without ice in the pores, with it the engine did not converge", "")
	}
	return t
}

// cycles prints a count of frost cycles, which a stone without data has none of.
func cycles(n float64) string {
	if n != n {
		return "not judged: no critical filling of this stone"
	}
	return fixed(n, 0)
}

// The drawing of a course: a column for each step of relative humidity.
const (
	drawnFrom, drawnTo = 0.50, 1.0
	drawnColumns       = 26
	drawnDays          = 14
)

// courseTable draws the yearly course of moisture at the cold face and at the
// timber, a line for every fortnight.
func courseTable(u *Units, w *screen.Working) Table {
	c, place := &w.Hourly.Course, w.Hourly.Place
	t := Table{
		Name: "course", Title: "Yearly course, means of fortnights",
		Columns: []string{"from", "cold face, " + u.Temperature.Unit, "RH %", "timber, " + u.Temperature.Unit, "RH %", "water kg/m²", "rain kg/m²", "50 % c cold face, t timber, x both 100 %"},
		Note:    "Cold face: outer face of the insulation, or inner face of a wall without. Timber: at its depth, also where there is none.",
	}
	for from := 0; from+drawnDays <= 365; from += drawnDays {
		mean := func(v *[365]float64) float64 {
			sum := 0.0
			for _, x := range v[from : from+drawnDays] {
				sum += x
			}
			return sum / drawnDays
		}
		cold, timber := mean(&c.RH[simulate.PlaceCold]), mean(&c.RH[place])
		t.Rows = append(t.Rows, []string{date(int16(from)), u.Temperature.Text(mean(&c.Theta[simulate.PlaceCold])), fixed(100*cold, 0), u.Temperature.Text(mean(&c.Theta[place])),
			fixed(100*timber, 0), fixed(mean(&c.Water), 1), fixed(drawnDays*mean(&c.Rain), 1), drawn(cold, timber)})
	}
	return t
}

func drawn(cold, timber float64) string {
	line := []byte(strings.Repeat(".", drawnColumns))
	at := func(rh float64) int {
		return int(max(0, min((rh-drawnFrom)/(drawnTo-drawnFrom), 1))*(drawnColumns-1) + 0.5)
	}
	line[at(cold)] = 'c'
	if at(timber) == at(cold) {
		line[at(cold)] = 'x'
	} else {
		line[at(timber)] = 't'
	}
	return string(line)
}
