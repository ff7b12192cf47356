package transient

import "math"

// Solar returns the short-wave radiation on the vertical face in W/m² at hour
// of the year t (clock hours, fractional): the share Sun of the direct beam by
// incidence angle, half of the diffuse sky, half of the ground's reflection. Declination and equation
// of time after Spencer 1971.
func (f *Face) Solar(t, directNormal, diffuse, global float64) float64 {
	sky := 0.5*diffuse + 0.5*f.GroundAlbedo*global
	if directNormal <= 0 {
		return sky
	}
	day := t/24 + float64(max(f.FirstDay, 1)) - 1
	g := 2 * math.Pi * day / 365
	decl := 0.006918 - 0.399912*math.Cos(g) + 0.070257*math.Sin(g) - 0.006758*math.Cos(2*g) +
		0.000907*math.Sin(2*g) - 0.002697*math.Cos(3*g) + 0.00148*math.Sin(3*g)
	eot := 229.18 * (0.000075 + 0.001868*math.Cos(g) - 0.032077*math.Sin(g) -
		0.014615*math.Cos(2*g) - 0.040849*math.Sin(2*g)) // minutes
	solar := math.Mod(t, 24) + eot/60 + f.Longitude/15 - f.TimeZone
	h := (solar - 12) * 15 * math.Pi / 180
	lat := f.Latitude * math.Pi / 180
	// Sun vector: east, north, up.
	up := math.Sin(lat)*math.Sin(decl) + math.Cos(lat)*math.Cos(decl)*math.Cos(h)
	if up <= 0 {
		return sky
	}
	east := -math.Cos(decl) * math.Sin(h)
	north := math.Cos(lat)*math.Sin(decl) - math.Sin(lat)*math.Cos(decl)*math.Cos(h)
	a := f.Azimuth * math.Pi / 180
	return sky + f.Sun*directNormal*math.Max(0, east*math.Sin(a)+north*math.Cos(a))
}
