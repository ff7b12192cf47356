package indicator

import "wallsift/model/steady"

// surfaceMould compares the temperature deficit of the inner surface with the
// largest one that keeps the worst month's surface humidity at rhMax. Written
// as deficits (1 - fRsi) the utilisation is proportional to what the wall
// loses at the surface; it is 1 exactly where fRsi equals fRsi,min.
func surfaceMould(in *HeatInput, r float64) Value {
	need, month := steady.FRsiMin(in.Months, in.Limits.SurfaceRH)
	if month < 0 {
		return Value{Month: -1, Day: -1}
	}
	f := steady.FRsi(r, in.Limits.Rse, in.Limits.RsiMould)
	return value(1-f, 1-need, month)
}
