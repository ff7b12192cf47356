package config

import (
	"regexp"

	"wallsift/model/climate"
)

var (
	// thermalZone lists the zones of ASHRAE 169.
	thermalZone = regexp.MustCompile(`^([0-2][AB]|[3-5][ABC]|6[AB]|7|8)$`)
	// koppenClass lists the classes of the Köppen–Geiger map (Peel et al. 2007),
	// and As, which some maps keep apart from Aw.
	koppenClass = regexp.MustCompile(`^(A[fmws]|B[WS][hk]|C[swf][abc]|D[swf][abcd]|E[TF])$`)
)

// climates checks stations and zones.
func (v *validator) climates() {
	stations := v.l.Config.Stations
	for _, id := range sortedKeys(stations) {
		s, key := stations[id], "stations."+id
		v.text("stations", id, map[string]string{"label": s.Label, "source": s.Source})
		if !thermalZone.MatchString(s.Zone) {
			v.add(key+".zone", s.Zone, "expected a thermal zone of ASHRAE 169, such as 4C or 7")
		}
		if !koppenClass.MatchString(s.Koppen) {
			v.add(key+".koppen", s.Koppen, "expected a Köppen class, such as Cfb")
		}
		for _, f := range climate.Validate(s) {
			v.add(key+"."+f.Key, f.Value, "%s", f.Want)
		}
	}
	for _, id := range sortedKeys(v.l.Config.Zones) {
		z := v.l.Config.Zones[id]
		v.text("zones", id, map[string]string{"label": z.Label, "source": z.Source})
		v.reference("zones."+id+".station", z.Station, "stations", sortedKeys(stations))
	}
}
