package config

import (
	"fmt"
	"regexp"

	"wallsift/model/climate"
)

var (
	// thermalZone lists the zones of ASHRAE 169.
	thermalZone = regexp.MustCompile(`^([0-2][AB]|[3-5][ABC]|6[AB]|7|8)$`)
	// koppenClass lists the classes of the Köppen–Geiger map (Peel et al. 2007),
	// and As, which some maps keep apart from Aw.
	koppenClass = regexp.MustCompile(`^(A[fmws]|B[WS][hk]|C[swf][abc]|D[swf][abcd]|E[TF])$`)
	monthNames  = [12]string{"January", "February", "March", "April", "May", "June", "July",
		"August", "September", "October", "November", "December"}
	monthDays = [12]float64{31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
)

// climates checks stations and zones. Bounds are the extremes of the Earth's
// surface, rounded outwards (from memory, no source).
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
		v.within(key+".latitude", s.Latitude, -90, 90, "degrees north")
		v.within(key+".longitude", s.Longitude, -180, 180, "degrees east")
		v.within(key+".elevation", s.Elevation, -500, 6000, "m")
		v.within(key+".rain_from", s.RainFrom, 0, 360, "degrees clockwise from north")
		v.within(key+".rain_spread", s.RainSpread, 0, 180, "degrees")
		v.months(key, &s)
	}
	for _, id := range sortedKeys(v.l.Config.Zones) {
		z := v.l.Config.Zones[id]
		v.text("zones", id, map[string]string{"label": z.Label, "source": z.Source})
		v.reference("zones."+id+".station", z.Station, "stations", sortedKeys(stations))
	}
}

func (v *validator) months(key string, s *climate.Station) {
	v.series(key+".temp", s.Temp, -60, 50, "°C")
	v.series(key+".temp_min", s.TempMin, -70, 50, "°C")
	v.series(key+".temp_max", s.TempMax, -60, 60, "°C")
	v.series(key+".rh", s.RH, 0.01, 1, "as a share, 0.8 for 80 %")
	v.series(key+".wind", s.Wind, 0, 30, "m/s")
	v.series(key+".rain", s.Rain, 0, 3000, "mm a month")
	v.series(key+".sun", s.Sun, 0, 500, "W/m²")
	v.series(key+".rain_days", s.RainDays, 0, 31, "days")
	for m := range 12 {
		switch {
		case s.TempMin[m] > s.Temp[m] || s.Temp[m] > s.TempMax[m]:
			v.add(fmt.Sprintf("%s.temp[%d]", key, m), s.Temp[m], "expected between temp_min %g and temp_max %g in %s", s.TempMin[m], s.TempMax[m], monthNames[m])
		case s.RainDays[m] > monthDays[m]:
			v.add(fmt.Sprintf("%s.rain_days[%d]", key, m), s.RainDays[m], "expected at most the days of %s", monthNames[m])
		case s.RainDays[m] > s.Rain[m]:
			v.add(fmt.Sprintf("%s.rain_days[%d]", key, m), s.RainDays[m], "a rain day has 1 mm or more, but %s has only %g mm", monthNames[m], s.Rain[m])
		}
	}
}

// series reports one problem a series: a wrong unit makes twelve alike.
func (v *validator) series(key string, values climate.Months, low, high float64, unit string) {
	first, more := -1, ""
	for m, f := range values {
		switch {
		case f >= low && f <= high:
		case first < 0:
			first = m
		default:
			more = " and in later months"
		}
	}
	if first >= 0 {
		v.add(fmt.Sprintf("%s[%d]", key, first), values[first], "expected %g to %g %s in %s%s", low, high, unit, monthNames[first], more)
	}
}
