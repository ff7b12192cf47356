package weatherfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wallsift/model/air"
	"wallsift/model/climate/hourly"
)

// year cuts the rows into years, fills gaps, and takes one year.
func (f *file) year() {
	n, timed := len(f.rows), f.clock.read != nil
	if !timed && n == perYear+24 {
		f.keep(func(s series) series { return slices.Delete(s, leapHour, leapHour+24) })
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
	f.keep(func(s series) series { return s[:years*perYear] })
	if f.complete(); years > 1 {
		f.choose(years)
	}
}

// percentile of the years by driving rain that is taken.
const percentile = 0.9

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
	f.keep(func(s series) series { return slices.Clone(s[take*perYear : (take+1)*perYear]) })
}

// keep reduces every series that the file has to a part of it.
func (f *file) keep(part func(series) series) {
	for q, s := range f.data {
		if s != nil {
			f.data[q] = part(s)
		}
	}
}

// series is a column as it is read, NaN where a value is missing.
type series []float64

var nan = math.NaN()

// maxGap is the longest gap in hours that a straight line bridges, maxDark that of
// radiation, which takes the hour of the day before or after. Common practice, no
// source.
const maxGap, maxDark = 6, 72

// fill gives the hours k of each gap of up to most hours their value. The gap lies
// between before and after, which are the same where it reaches an end of the series.
// fill returns how many hours it filled and the first index of a gap that is longer
// or has no value, or -1.
func (s series) fill(most int, value func(s series, k, before, after int) float64) (filled, tooLong int) {
	for i := 0; i < len(s); i++ {
		j := i
		for j < len(s) && math.IsNaN(s[j]) {
			j++
		}
		if j-i > most || j-i == len(s) {
			return filled, i
		}
		before, after := i-1, j
		if i == 0 {
			before = after
		} else if j == len(s) {
			after = before
		}
		for k := i; k < j; k++ {
			if s[k] = value(s, k, before, after); math.IsNaN(s[k]) {
				return filled, k
			}
			filled++
		}
		i = j
	}
	return filled, -1
}

// bridged is a straight line between the values about a gap.
func bridged(s series, k, before, after int) float64 {
	if before == after {
		return s[before]
	}
	f := float64(k-before) / float64(after-before)
	return (1-f)*s[before] + f*s[after]
}

// repeated is the same hour of the nearest day before, or after, that has it. Filled
// days count, so that looking back one is enough.
func repeated(s series, k, _, _ int) float64 {
	for _, j := range []int{k - 24, k + 24, k + 48, k + 72, k + 96} {
		if j >= 0 && j < len(s) && !math.IsNaN(s[j]) {
			return s[j]
		}
	}
	return nan
}

// held is the value before a gap: a line from 350 to 10 degrees would pass the south.
func held(s series, _, before, _ int) float64 { return s[before] }

// noRain is what to do about a file without rain.
const noRain = "the rain is left out: take Rain, Wind and WindFrom from the station's generated year, or give a CSV file with rain_mm"

// minRH keeps absolutely dry air out of logarithms.
const minRH = 0.01

// complete fills gaps, and leaves out what has too long ones. Sun and sky are left to
// light.
func (f *file) complete() {
	for q, n := range f.odd {
		if n > 0 {
			f.place.note("Column %s: %d impossible values count as missing.", f.name[q], n)
		}
	}
	if f.leap > 0 {
		f.place.note("29 February (%d hours) was dropped.", f.leap)
	}
	f.fill(theta, "", maxGap, bridged)
	f.fromDewPoint()
	f.fill(rh, "", maxGap, bridged)
	for k, v := range f.data[rh] {
		f.data[rh][k] = max(minRH, min(v, 1))
	}
	f.fill(wind, "wind", maxGap, bridged)
	f.fill(from, "wind direction", math.MaxInt, held)
	f.rain()
	for _, q := range []int{global, direct, diffuse} {
		f.fill(q, "", maxDark, repeated)
	}
	f.fill(sky, "", maxGap, bridged)
}

// fill fills a series. Without a word for it, its lack is told where it is made up
// for, or it is one without which a file is of no use.
func (f *file) fill(q int, what string, most int, value func(s series, k, before, after int) float64) {
	s, did := f.data[q], "filled"
	needed := q == theta || q == rh
	if needed {
		did = "bridged"
	}
	filled, bad := s.fill(most, value)
	switch {
	case s == nil:
		if what != "" {
			f.place.note("No column for it: the %s is left out.", what)
		}
	case bad >= 0 && needed:
		f.number = int(f.rows[bad])
		f.add(f.name[q], "missing", fmt.Sprintf("no gap above %d hours", most), "fill the gap or give another file")
	case bad >= 0:
		f.data[q] = nil
		if what != "" {
			f.place.note("Column %s is missing or has a gap too long to fill (line %d): the %s is left out.", f.name[q], f.rows[bad], what)
		}
	case filled > 0:
		f.place.note("Column %s: %d missing hours were %s.", f.name[q], filled, did)
	}
}

// fromDewPoint makes the humidity that is missing.
func (f *file) fromDewPoint() {
	taken := 0
	for k, d := range f.data[dew] {
		if t := f.data[theta][k]; math.IsNaN(f.data[rh][k]) && !math.IsNaN(d+t) {
			f.data[rh][k] = air.Psat(d) / air.Psat(t)
			taken++
		}
	}
	if taken > 0 {
		f.place.note("The humidity of %d hours was taken from the dew point.", taken)
	}
}

// rain spreads depths that were measured over several hours back over them, and
// counts blank hours as dry.
func (f *file) rain() {
	depth, missing := f.data[rain], 0
	out, sum := make(series, len(depth)), 0.0
	f.data[rain] = nil
	for k, v := range depth {
		if math.IsNaN(v) {
			missing++
			continue
		}
		n := 1
		if d := f.data[duration]; d != nil && d[k] > 1 && d[k] <= 24 {
			n = min(int(d[k]), k+1)
		}
		for i := k - n + 1; i <= k; i++ {
			out[i] += v / float64(n)
		}
		sum += v
	}
	switch {
	case missing == len(depth):
		f.place.note("Rain is missing throughout: %s.", noRain)
		return
	case sum == 0:
		f.place.note("Column %s is zero throughout, as where it was not measured: %s.", f.name[rain], noRain)
		return
	case missing > 0:
		f.place.note("Column %s: %d missing hours count as dry.", f.name[rain], missing)
	}
	f.data[rain] = out
}

// stefanBoltzmann in W/(m²K⁴).
const stefanBoltzmann = 5.670374e-8

// light makes up for what is missing of sun and sky, and hands the year over.
func (f *file) light() *hourly.Hours {
	p, d := f.place, &f.data
	h := &hourly.Hours{Theta: d[theta], RH: d[rh], Wind: d[wind], WindFrom: d[from], Rain: d[rain],
		DirectNormal: d[direct], Diffuse: d[diffuse], Global: d[global], SkyTheta: d[sky]}
	sun, parts := hourly.NewSun(p.Latitude, p.Longitude, p.TimeZone), h.DirectNormal != nil && h.Diffuse != nil
	switch {
	case h.Global == nil && !parts:
		h.DirectNormal, h.Diffuse = nil, nil
		p.note("Radiation is missing: it is left out. Take it from the station's generated year.")
	case h.Global == nil:
		h.Global = make([]float64, perYear)
		for k := range sun {
			h.Global[k] = h.Diffuse[k] + h.DirectNormal[k]*sun[k].Up
		}
		p.note("Global radiation was made of direct and diffuse radiation.")
	case !parts:
		h.DirectNormal, h.Diffuse = sun.Split(h.Global)
		p.note("Direct and diffuse radiation are missing: the global radiation was split after Erbs et al. 1982.")
	}
	if h.SkyTheta == nil {
		f.sky(h, sun)
	}
	return h
}

// sky takes the sky temperature from the infrared column, else from the clouds,
// else from the radiation. Infrared of 50 W/m² and less stands for none.
func (f *file) sky(h *hourly.Hours, sun hourly.Sun) {
	infra, clouds := f.data[infrared], f.data[cover]
	for k, v := range infra {
		if v <= 50 { // no sky is that cold: 172 K
			infra[k] = nan
		}
	}
	if _, bad := infra.fill(maxGap, bridged); infra != nil && bad < 0 {
		for k, v := range infra {
			infra[k] = math.Pow(v/stefanBoltzmann, 0.25) - air.KelvinOffset
		}
		h.SkyTheta = infra
	} else if _, bad := clouds.fill(maxGap, bridged); clouds != nil && bad < 0 {
		for k, c := range clouds {
			clouds[k] = hourly.SkyTemperature(h.Theta[k], h.RH[k], c)
		}
		h.SkyTheta = clouds
		f.place.note("The sky temperature was estimated from the sky cover.")
	} else if h.Global != nil {
		h.SkyTheta = sun.Sky(h.Theta, h.RH, h.Global)
		f.place.note("The sky temperature was estimated from the radiation.")
	}
}
