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

// complete fills gaps and hands the measured series over; nil after a fault. Sun and
// sky are left to light.
func (f *file) complete() *hourly.Hours {
	for q, n := range f.odd {
		if n > 0 {
			f.place.note("Column %s: %d impossible values count as missing.", f.name[q], n)
		}
	}
	if f.leap > 0 {
		f.place.note("29 February (%d hours) was dropped.", f.leap)
	}
	f.must(theta)
	f.fromDewPoint()
	f.must(rh)
	if len(f.faults) > 0 {
		return nil
	}
	for k, v := range f.data[rh] {
		f.data[rh][k] = max(minRH, min(v, 1))
	}
	return &hourly.Hours{Theta: f.data[theta], RH: f.data[rh],
		Wind: f.may(wind, "wind", series.bridge), WindFrom: f.may(from, "wind direction", series.hold), Rain: f.rain(),
		Global: f.may(global, "", series.repeat), DirectNormal: f.may(direct, "", series.repeat), Diffuse: f.may(diffuse, "", series.repeat),
		SkyTheta: f.may(sky, "", series.bridge)}
}

// must bridges a series without which a file is of no use.
func (f *file) must(q int) {
	filled, bad := f.data[q].bridge()
	if bad >= 0 {
		f.add(Error{f.label, int(f.rows[bad]), f.name[q], "missing", fmt.Sprintf("no gap above %d hours", maxGap), "fill the gap or give another file"})
	} else if filled > 0 {
		f.place.note("Column %s: %d missing hours were bridged.", f.name[q], filled)
	}
}

// may fills a series that a file may lack. Without a word for it, its lack is told
// where it is made up for.
func (f *file) may(q int, what string, fill func(series) (filled, tooLong int)) []float64 {
	s := f.data[q]
	filled, bad := fill(s)
	switch {
	case (s == nil || bad >= 0) && what == "":
		return nil
	case s == nil:
		f.place.note("No column for it: the %s is left out.", what)
		return nil
	case bad >= 0:
		f.place.note("Column %s is missing or has a gap too long to fill (line %d): the %s is left out.", f.name[q], f.rows[bad], what)
		return nil
	case filled > 0:
		f.place.note("Column %s: %d missing hours were filled.", f.name[q], filled)
	}
	return s
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
func (f *file) rain() []float64 {
	depth, missing := f.data[rain], 0
	out, sum := make(series, len(depth)), 0.0
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
	if missing == len(depth) {
		f.place.note("Rain is missing throughout: %s.", noRain)
		return nil
	}
	if sum == 0 {
		f.place.note("Column %s is zero throughout, as where it was not measured: %s.", f.name[rain], noRain)
		return nil
	}
	if missing > 0 {
		f.place.note("Column %s: %d missing hours count as dry.", f.name[rain], missing)
	}
	return out
}

// stefanBoltzmann in W/(m²K⁴).
const stefanBoltzmann = 5.670374e-8

// light makes up for what is missing of sun and sky.
func (f *file) light(h *hourly.Hours) {
	p := f.place
	sun, parts := hourly.NewSun(p.Latitude, p.Longitude, p.TimeZone), h.DirectNormal != nil && h.Diffuse != nil
	switch {
	case h.Global == nil && !parts:
		h.DirectNormal, h.Diffuse = nil, nil
		p.note("Radiation is missing: it is left out. Take it from the station's generated year.")
	case h.Global != nil && parts:
	case h.Global == nil:
		h.Global = make([]float64, len(h.Diffuse))
		for k, up := range sun.Heights() {
			h.Global[k] = h.Diffuse[k] + h.DirectNormal[k]*up
		}
		p.note("Global radiation was made of direct and diffuse radiation.")
	default:
		h.DirectNormal, h.Diffuse = sun.Split(h.Global)
		p.note("Direct and diffuse radiation are missing: the global radiation was split after Erbs et al. 1982.")
	}
	f.sky(h, sun)
}

// sky takes the sky temperature from the infrared column, else from the clouds,
// else from the radiation. Infrared of 50 W/m² and less stands for none.
func (f *file) sky(h *hourly.Hours, sun hourly.Sun) {
	if h.SkyTheta != nil {
		return
	}
	p, infra, clouds := f.place, f.data[infrared], f.data[cover]
	for k, v := range infra {
		if v <= 50 { // no sky is that cold: 172 K
			infra[k] = nan
		}
	}
	if _, bad := infra.bridge(); infra != nil && bad < 0 {
		h.SkyTheta = make([]float64, len(infra))
		for k, v := range infra {
			h.SkyTheta[k] = math.Pow(v/stefanBoltzmann, 0.25) - air.KelvinOffset
		}
		return
	}
	if _, bad := clouds.bridge(); clouds != nil && bad < 0 {
		h.SkyTheta = make([]float64, len(clouds))
		for k, c := range clouds {
			h.SkyTheta[k] = hourly.SkyTemperature(h.Theta[k], h.RH[k], c)
		}
		p.note("The sky temperature was estimated from the sky cover.")
		return
	}
	if h.Global != nil {
		h.SkyTheta = sun.Sky(h.Theta, h.RH, h.Global)
		p.note("The sky temperature was estimated from the radiation.")
	}
}
