package weatherfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wallsift/model/climate/hourly"
)

const perYear = hourly.HoursPerYear

// leapHour is the first hour of 29 February in a leap year.
const leapHour = 59 * 24

// hours cuts the rows into years, fills gaps, and takes one year.
func (t *table) hours() *hourly.Hours {
	n := len(t.rows)
	if !t.has(csvTime) && n == perYear+24 {
		for i := range t.data {
			if t.has(i) {
				t.data[i] = slices.Delete(t.data[i], leapHour, leapHour+24)
			}
		}
		t.rows = slices.Delete(t.rows, leapHour, leapHour+24)
		t.leap, n = 24, perYear
	}
	years := n / perYear
	if rest := n % perYear; years == 0 || rest != 0 && !t.has(csvTime) {
		want, fix := "n·8760 rows, or 8784", "give whole years, or add a time column"
		if t.has(csvTime) {
			want, fix = "a whole year of hourly rows", "give 8760 rows or more from 1 January"
		}
		t.add(Error{t.file, t.number, "", fmt.Sprintf("%d rows (leap days apart)", n), want, fix})
		return nil
	} else if rest != 0 {
		t.place.note("The last %d hours are no whole year and were dropped.", rest)
	}
	if t.leap > 0 {
		t.place.note("29 February was dropped (%d hours).", t.leap)
	}
	for i := range t.data {
		if t.has(i) {
			t.data[i] = t.data[i][:years*perYear]
		}
	}
	rh := csvRH
	if t.has(csvRHPct) {
		rh = csvRHPct
	}
	t.fill(csvTheta)
	t.fill(rh)
	if len(t.faults) > 0 {
		return nil
	}
	h := &hourly.Hours{Theta: t.data[csvTheta], RH: t.data[rh]}
	for k, v := range h.RH {
		h.RH[k] = max(minRH, min(v, 1))
	}
	h.Wind = t.optional(csvWind, series.bridge, "wind")
	h.WindFrom = t.optional(csvFrom, holdAll, "wind direction")
	h.Rain = t.rain()
	h.Global = t.optional(csvGlobal, series.repeat, "global radiation")
	h.DirectNormal = t.optional(csvDirect, series.repeat, "")
	h.Diffuse = t.optional(csvDiffuse, series.repeat, "")
	h.SkyTheta = t.optional(csvSky, series.bridge, "")
	t.choose(h, years)
	t.sun(h)
	return h
}

func holdAll(s series) (filled, tooLong int) {
	if n := s.hold(); n >= 0 {
		return n, -1
	}
	return 0, 0
}

func (t *table) fill(i int) {
	filled, bad := t.data[i].bridge()
	if bad >= 0 {
		t.add(Error{t.file, int(t.rows[bad]), csvColumns[i].name, "blank", fmt.Sprintf("no gap above %d hours", maxGap), "fill the gap"})
	} else if filled > 0 {
		t.place.note("%s: %d missing hours were bridged.", csvColumns[i].name, filled)
	}
}

// optional fills a column that may lack. Without a name for it, its lack is told
// where it is made up for.
func (t *table) optional(i int, fill func(series) (int, int), what string) []float64 {
	name := csvColumns[i].name
	if !t.has(i) {
		if what != "" {
			t.place.note("No column %s: the %s is left out.", name, what)
		}
		return nil
	}
	filled, bad := fill(t.data[i])
	if bad >= 0 {
		t.place.note("%s has a gap too long to fill (line %d) and is not used.", name, t.rows[bad])
		return nil
	}
	if filled > 0 {
		t.place.note("%s: %d missing hours were filled.", name, filled)
	}
	return t.data[i]
}

// rain counts blank hours as dry. Rain that never falls is taken as it is: the
// file is the user's own.
func (t *table) rain() []float64 {
	s := t.data[csvRain]
	if !t.has(csvRain) || s.holes() == len(s) {
		t.place.note("No values of rain_mm: %s.", noRain)
		return nil
	}
	if n := s.holes(); n > 0 {
		t.place.note("rain_mm: %d blank hours count as dry.", n)
	}
	for k, v := range s {
		if math.IsNaN(v) {
			s[k] = 0
		}
	}
	return s
}

// percentile of the years by driving rain that is taken.
const percentile = 0.9

// choose keeps one year.
func (t *table) choose(h *hourly.Hours, years int) {
	take := 0
	if years > 1 && h.Rain != nil {
		order := make([]int, years)
		driving := make([]float64, years)
		for y := range years {
			order[y] = y
			for k := y * perYear; k < (y+1)*perYear; k++ {
				wind := 1.0
				if h.Wind != nil {
					wind = h.Wind[k]
				}
				driving[y] += wind * math.Pow(h.Rain[k], 8.0/9)
			}
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(driving[a], driving[b]) })
		take = order[int(math.Ceil(percentile*float64(years)))-1]
	}
	if t.has(csvTime) {
		t.place.Year = t.first.Year() + take
	}
	if years > 1 {
		why := "it has no rain to choose by"
		if h.Rain != nil {
			why = "its driving rain stands at the ninetieth percentile"
		}
		t.place.note("Year %d of %d was taken: %s.", take+1, years, why)
	}
	for _, v := range []*[]float64{&h.Theta, &h.RH, &h.Wind, &h.WindFrom, &h.Rain, &h.DirectNormal, &h.Diffuse, &h.Global, &h.SkyTheta} {
		if *v != nil {
			*v = slices.Clone((*v)[take*perYear : (take+1)*perYear])
		}
	}
}

// sun makes up for radiation and sky that lack, where the place is known.
func (t *table) sun(h *hourly.Hours) {
	p := t.place
	parts := h.DirectNormal != nil && h.Diffuse != nil
	if !p.Located {
		if h.Global != nil && !parts || h.Global == nil && parts || h.Global != nil && h.SkyTheta == nil {
			p.note(`The latitude is not known, so that radiation could not be split or the sky estimated: add a line "# latitude_deg: 51.5" before the header.`)
		}
		if !parts {
			h.DirectNormal, h.Diffuse = nil, nil
		}
		return
	}
	if !t.zoned {
		p.note("No longitude_deg and time_zone_h: the clock counts as local mean solar time.")
	}
	switch {
	case h.Global == nil && parts:
		h.Global = make([]float64, perYear)
		for k, up := range hourly.SunHeights(p.Latitude, p.Longitude, p.TimeZone) {
			h.Global[k] = h.Diffuse[k] + h.DirectNormal[k]*up
		}
		p.note("Global radiation was made of direct and diffuse radiation.")
	case h.Global == nil:
		h.DirectNormal, h.Diffuse = nil, nil
	case !parts:
		h.DirectNormal, h.Diffuse = hourly.SplitGlobal(h.Global, p.Latitude, p.Longitude, p.TimeZone)
		p.note("Direct and diffuse radiation were split from global after Erbs et al. 1982.")
	}
	if h.SkyTheta == nil && h.Global != nil {
		h.SkyTheta = hourly.SkyFromGlobal(h.Theta, h.RH, h.Global, p.Latitude, p.Longitude, p.TimeZone)
		p.note("The sky temperature was estimated from the radiation.")
	}
}
