package weatherfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// year cuts the rows into years, fills gaps, and takes one year.
func (f *file) year() {
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
		f.add("", fmt.Sprintf("%d rows (leap days apart)", n), want, fix)
		return
	} else if rest != 0 {
		f.place.note("The last %d hours are no whole year and were dropped.", rest)
	}
	for q, s := range f.data {
		if s != nil {
			f.data[q] = s[:years*perYear]
		}
	}
	if f.complete(); years > 1 {
		f.choose(years)
	}
}

// percentile of the years by driving rain that is taken.
const percentile = 0.9

// choose keeps one year.
func (f *file) choose(years int) {
	take, why := 0, "it has no rain to choose by"
	if rains, winds := f.data[rain], f.data[wind]; rains != nil {
		order, driving := make([]int, years), make([]float64, years)
		for k, depth := range rains {
			speed := 1.0
			if winds != nil {
				speed = winds[k]
			}
			driving[k/perYear] += speed * math.Pow(depth, 8.0/9)
		}
		for y := range order {
			order[y] = y
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(driving[a], driving[b]) })
		take, why = order[int(math.Ceil(percentile*float64(years)))-1], "its driving rain stands at the ninetieth percentile"
	}
	f.place.note("Year %d of %d was taken: %s.", take+1, years, why)
	for q, s := range f.data {
		if s != nil {
			f.data[q] = slices.Clone(s[take*perYear : (take+1)*perYear])
		}
	}
}
