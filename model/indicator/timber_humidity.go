package indicator

import "wallsift/model/steady"

// timberHumidity compares the monthly humidity at the embedded timber with the
// pore humidity limit at its temperature, and returns the worst month.
func timberHumidity(in *HeatInput, c *steady.Condensation) Value {
	worst := Value{Month: -1, Day: -1}
	for m := range c.MarkRH {
		v := value(c.MarkRH[m], timberLimit(c.MarkTheta[m], in.Limits), m)
		if !worst.Applies || v.Utilisation > worst.Utilisation {
			worst = v
		}
	}
	return worst
}

// timberLimit is the straight line between the limits at 0 and 30 °C, held
// outside that range.
func timberLimit(theta float64, l *Limits) float64 {
	t := min(max(theta/30, 0), 1)
	return l.TimberRH0 + t*(l.TimberRH30-l.TimberRH0)
}
