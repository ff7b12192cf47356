package weatherfile

import (
	"fmt"
	"math"
	"strconv"

	"wallsift/model/air"
	"wallsift/model/climate/hourly"
)

// noRain is what to do about a file without rain.
const noRain = "the rain is left out: take Rain, Wind and WindFrom from the station's generated year, or give a CSV file with rain_mm"

// hours completes the series and hands them over.
func (f *epwFile) hours() *hourly.Hours {
	if f.leap > 0 {
		f.place.note("29 February (%d hours) was dropped.", f.leap)
	}
	f.fill(epwTheta)
	f.humidity()
	if len(f.faults) > 0 {
		return nil
	}
	h := &hourly.Hours{Theta: f.data[epwTheta], RH: f.data[epwRH]}
	h.Wind, h.WindFrom = f.optional(epwWind, "wind"), f.direction()
	f.radiation(h)
	f.sky(h)
	h.Rain = f.rain()
	f.place.Year = f.year
	return h
}

// fill bridges a series that must be there.
func (f *epwFile) fill(i int) {
	filled, bad := f.data[i].bridge()
	if bad >= 0 {
		f.add(f.hole(i, bad))
	} else if filled > 0 {
		f.place.note("Column %s: %d missing hours were bridged.", epwColumns[i].name, filled)
	}
}

// hole is the fault of a gap that is too long.
func (f *epwFile) hole(i, at int) Error {
	return Error{f.file, f.lineOf(at), epwColumns[i].name, "missing",
		fmt.Sprintf("no gap above %d hours", maxGap), "fill the gap or give another file"}
}

// lineOf is the line of hour k, if no blank line lies between rows.
func (f *epwFile) lineOf(k int) int {
	if k >= 59*24 {
		k += f.leap
	}
	return f.first + k
}

// humidity takes what is missing from the dew point.
func (f *epwFile) humidity() {
	rh, dew, theta := f.data[epwRH], f.data[epwDew], f.data[epwTheta]
	taken := 0
	for k := range rh {
		if math.IsNaN(rh[k]) && !math.IsNaN(dew[k]) && !math.IsNaN(theta[k]) {
			rh[k] = air.Psat(dew[k]) / air.Psat(theta[k])
			taken++
		}
	}
	if taken > 0 {
		f.place.note("The humidity of %d hours was taken from the dew point.", taken)
	}
	f.fill(epwRH)
	for k := range rh {
		rh[k] = max(minRH, min(rh[k], 1))
	}
}

// minRH keeps absolutely dry air out of logarithms.
const minRH = 0.01

// optional bridges a series that may be left out whole.
func (f *epwFile) optional(i int, what string) []float64 {
	s := f.data[i]
	filled, bad := s.bridge()
	switch {
	case bad >= 0:
		f.place.note("Column %s is missing or has gaps above %d hours (line %d): the %s is left out.", epwColumns[i].name, maxGap, f.lineOf(bad), what)
		return nil
	case filled > 0:
		f.place.note("Column %s: %d missing hours were bridged.", epwColumns[i].name, filled)
	}
	return s
}

// direction keeps the last known direction where it is missing, as in calms: a
// line from 350 to 10 degrees would pass the south.
func (f *epwFile) direction() []float64 {
	s := f.data[epwFrom]
	held := s.hold()
	if held < 0 {
		f.place.note("Column %s is missing throughout: the direction is left out, and driving rain cannot be told from it.", epwColumns[epwFrom].name)
		return nil
	}
	if held > 0 {
		f.place.note("Column %s: %d missing hours keep the direction before them.", epwColumns[epwFrom].name, held)
	}
	return s
}

// radiation fills gaps, and each of the three from the other two.
func (f *epwFile) radiation(h *hourly.Hours) {
	p := f.place
	global, direct, diffuse := f.data[epwGlobal], f.data[epwDirect], f.data[epwDiffuse]
	parts := f.sun(epwDirect) && f.sun(epwDiffuse)
	switch {
	case f.sun(epwGlobal) && parts:
	case f.sun(epwGlobal):
		direct, diffuse = hourly.SplitGlobal(global, p.Latitude, p.Longitude, p.TimeZone)
		p.note("Direct and diffuse radiation are missing: the global radiation was split after Erbs et al. 1982.")
	case parts:
		for k, up := range hourly.SunHeights(p.Latitude, p.Longitude, p.TimeZone) {
			global[k] = diffuse[k] + direct[k]*up
		}
		p.note("Global radiation is missing: it was made of direct and diffuse radiation.")
	default:
		p.note("Radiation is missing: it is left out. Take it from the station's generated year.")
		return
	}
	h.Global, h.DirectNormal, h.Diffuse = global, direct, diffuse
}

// sun fills a series of radiation and reports whether it is whole.
func (f *epwFile) sun(i int) bool {
	filled, bad := f.data[i].repeat()
	if bad >= 0 {
		return false
	}
	if filled > 0 {
		f.place.note("Column %s: %d missing hours were taken from the days about them.", epwColumns[i].name, filled)
	}
	return true
}

// stefanBoltzmann in W/(m²K⁴).
const stefanBoltzmann = 5.670374e-8

// sky takes the sky temperature from the infrared column, else from the clouds,
// else from the radiation. Zero infrared stands for none.
func (f *epwFile) sky(h *hourly.Hours) {
	infrared, cover, p := f.data[epwInfrared], f.data[epwCover], f.place
	for k, v := range infrared {
		if v <= 50 { // no sky is that cold: 172 K
			infrared[k] = math.NaN()
		}
	}
	if _, bad := infrared.bridge(); bad < 0 {
		h.SkyTheta = make([]float64, len(infrared))
		for k, v := range infrared {
			h.SkyTheta[k] = math.Pow(v/stefanBoltzmann, 0.25) - air.KelvinOffset
		}
		return
	}
	if _, bad := cover.bridge(); bad < 0 {
		h.SkyTheta = make([]float64, len(cover))
		for k, c := range cover {
			h.SkyTheta[k] = hourly.SkyTemperature(h.Theta[k], h.RH[k], c)
		}
		p.note("Infrared radiation is missing: the sky temperature was estimated from the sky cover.")
		return
	}
	if h.Global != nil {
		h.SkyTheta = hourly.SkyFromGlobal(h.Theta, h.RH, h.Global, p.Latitude, p.Longitude, p.TimeZone)
		p.note("Infrared radiation and sky cover are missing: the sky temperature was estimated from the radiation.")
		return
	}
	p.note("Infrared radiation, sky cover and radiation are missing: the sky temperature is left out.")
}

// rain spreads depths that were measured over several hours back over them.
func (f *epwFile) rain() []float64 {
	depth, duration := f.data[epwRain], f.data[epwDuration]
	missing := depth.holes()
	out := make(series, len(depth))
	for k, v := range depth {
		if math.IsNaN(v) || v == 0 {
			continue
		}
		n := 1
		if q := duration[k]; q > 1 && q <= 24 {
			n = min(int(q), k+1)
		}
		for i := k - n + 1; i <= k; i++ {
			out[i] += v / float64(n)
		}
	}
	switch {
	case missing == len(depth):
		f.place.note("Column %s is missing throughout: %s.", epwColumns[epwRain].name, noRain)
		return nil
	case out.zero():
		f.place.note("Column %s is zero throughout, which in this format means that it was not measured: %s.", epwColumns[epwRain].name, noRain)
		return nil
	case missing > 0:
		f.place.note("Column %s: %d missing hours count as dry.", epwColumns[epwRain].name, missing)
	}
	return out
}

// yearOf keeps the year of the rows, 0 where months come from several.
func (f *epwFile) yearOf() {
	v, err := strconv.Atoi(f.cells[epwYear])
	if err != nil || len(f.data[0]) > 0 && v != f.year {
		v = 0
	}
	f.year = v
}
