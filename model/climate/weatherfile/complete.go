package weatherfile

import (
	"fmt"
	"math"

	"wallsift/model/air"
	"wallsift/model/climate/hourly"
)

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
	f.fill(from, "wind direction", anyGap, held)
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
		if v == 0 {
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
	case h.Global != nil && parts:
	case h.Global == nil:
		h.Global = make([]float64, perYear)
		for k, up := range sun.Heights() {
			h.Global[k] = h.Diffuse[k] + h.DirectNormal[k]*up
		}
		p.note("Global radiation was made of direct and diffuse radiation.")
	default:
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
	made := make([]float64, perYear)
	if _, bad := infra.fill(maxGap, bridged); infra != nil && bad < 0 {
		for k, v := range infra {
			made[k] = math.Pow(v/stefanBoltzmann, 0.25) - air.KelvinOffset
		}
	} else if _, bad := clouds.fill(maxGap, bridged); clouds != nil && bad < 0 {
		for k, c := range clouds {
			made[k] = hourly.SkyTemperature(h.Theta[k], h.RH[k], c)
		}
		f.place.note("The sky temperature was estimated from the sky cover.")
	} else if h.Global != nil {
		made = sun.Sky(h.Theta, h.RH, h.Global)
		f.place.note("The sky temperature was estimated from the radiation.")
	} else {
		return
	}
	h.SkyTheta = made
}
