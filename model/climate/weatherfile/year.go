package weatherfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wallsift/model/climate/hourly"
)

// year cuts the rows into years, fills gaps, and takes one year; nil after a fault.
func (f *file) year() *hourly.Hours {
	n, timed := len(f.rows), f.clock.read != nil
	if !timed && n == perYear+24 {
		for q, s := range f.data {
			if s != nil {
				f.data[q] = slices.Delete(s, leapHour, leapHour+24)
			}
		}
		f.rows = slices.Delete(f.rows, leapHour, leapHour+24)
		f.leap, n = 24, perYear
	}
	years := n / perYear
	if rest := n % perYear; years == 0 || rest != 0 && !timed {
		want, fix := "n·8760 rows, or 8784", "give whole years, or add a time column"
		if timed {
			want, fix = "a whole year of hourly rows", "give 8760 rows or more from 1 January"
		}
		f.add(Error{f.label, f.number, "", fmt.Sprintf("%d rows (leap days apart)", n), want, fix})
		return nil
	} else if rest != 0 {
		f.place.note("The last %d hours are no whole year and were dropped.", rest)
	}
	for q, s := range f.data {
		if s != nil {
			f.data[q] = s[:years*perYear]
		}
	}
	h := f.complete()
	if h != nil && years > 1 {
		f.choose(h, years)
	}
	return h
}

// percentile of the years by driving rain that is taken.
const percentile = 0.9

// choose keeps one year.
func (f *file) choose(h *hourly.Hours, years int) {
	take, why := 0, "it has no rain to choose by"
	if h.Rain != nil {
		order, driving := make([]int, years), make([]float64, years)
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
		take, why = order[int(math.Ceil(percentile*float64(years)))-1], "its driving rain stands at the ninetieth percentile"
	}
	f.place.note("Year %d of %d was taken: %s.", take+1, years, why)
	for _, v := range []*[]float64{&h.Theta, &h.RH, &h.Wind, &h.WindFrom, &h.Rain, &h.DirectNormal, &h.Diffuse, &h.Global, &h.SkyTheta} {
		if *v != nil {
			*v = slices.Clone((*v)[take*perYear : (take+1)*perYear])
		}
	}
}
