package weatherfile_test

import (
	"math"
	"strings"
	"testing"

	"wallsift/model/climate/climatetest"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

// copied is the London year with the change made to every hour of it.
func copied(change func(h *hourly.Hours, k int)) *hourly.Hours {
	h := *london()
	for _, v := range []*[]float64{&h.Theta, &h.RH, &h.Wind, &h.WindFrom, &h.Rain, &h.DirectNormal, &h.Diffuse, &h.Global, &h.SkyTheta} {
		*v = append([]float64(nil), *v...)
	}
	for k := range h.Theta {
		change(&h, k)
	}
	return &h
}

// What a slip makes of a year is refused, and the slip is named.
func TestCheckRefusesSlips(t *testing.T) {
	s := climatetest.Station(t, "london")
	turn := func(by int) func(*hourly.Hours, int) {
		return func(h *hourly.Hours, k int) {
			h.Global[k] = london().Global[(k+by+8760)%8760]
		}
	}
	for name, c := range map[string]struct {
		change func(*hourly.Hours, int)
		want   []string
	}{
		"share as per cent":  {func(h *hourly.Hours, k int) { h.RH[k] = max(0.01, h.RH[k]/100) }, []string{"relative humidity", "share under a header of per cent"}},
		"degrees Fahrenheit": {func(h *hourly.Hours, k int) { h.Theta[k] = 1.8*h.Theta[k] + 32 }, []string{"temperature", "Fahrenheit", "month"}},
		"rain in metres":     {func(h *hourly.Hours, k int) { h.Rain[k] /= 1000 }, []string{"rain", "metres", "station london"}},
		"rain in inches":     {func(h *hourly.Hours, k int) { h.Rain[k] /= 25.4 }, []string{"rain", "inches"}},
		"rain in tenths":     {func(h *hourly.Hours, k int) { h.Rain[k] *= 10 }, []string{"rain", "tenths of a millimetre"}},
		"no rain":            {func(h *hourly.Hours, k int) { h.Rain[k] = 0 }, []string{"rain", "zeros"}},
		"wind in km/h":       {func(h *hourly.Hours, k int) { h.Wind[k] *= 3.6 }, []string{"wind", "km/h"}},
		"no wind":            {func(h *hourly.Hours, k int) { h.Wind[k] = 0 }, []string{"wind", "zeros"}},
		"no sun":             {func(h *hourly.Hours, k int) { h.Global[k] = 0 }, []string{"global radiation", "zeros"}},
		"sun in kJ":          {func(h *hourly.Hours, k int) { h.Global[k] *= 3.6 }, []string{"global radiation", "kJ/m²"}},
		"sun 12 h off":       {turn(12), []string{"while the sun is down", "12 h off"}},
		"sun 5 h off":        {turn(5), []string{"5 h off"}},
		"southern year":      {func(h *hourly.Hours, k int) { h.Theta[k] = london().Theta[(k+4380)%8760] }, []string{"temperature", "half a year"}},
		"a July lost": {func(h *hourly.Hours, k int) {
			if k/24 >= 181 && k/24 < 212 {
				h.Theta[k] = 0
			}
		}, []string{"temperature", "month 7"}},
		"parts in kW": {func(h *hourly.Hours, k int) {
			h.DirectNormal[k], h.Diffuse[k] = h.DirectNormal[k]/1000, h.Diffuse[k]/1000
		}, []string{"direct and diffuse", "100 % of the global"}},
		"parts 12 h off": {func(h *hourly.Hours, k int) {
			h.DirectNormal[k], h.Diffuse[k] = london().DirectNormal[(k+12)%8760], london().Diffuse[(k+12)%8760]
		}, []string{"direct and diffuse", "one clock"}},
		"no direction":        {func(h *hourly.Hours, k int) { h.WindFrom[k] = 0 }, []string{"wind direction", "0° at nearly all hours"}},
		"radians":             {func(h *hourly.Hours, k int) { h.WindFrom[k] /= 57.3 }, []string{"wind direction", "degrees from north"}},
		"tens of degrees":     {func(h *hourly.Hours, k int) { h.WindFrom[k] /= 10 }, []string{"wind direction"}},
		"light through night": {func(h *hourly.Hours, k int) { h.Global[k] = max(h.Global[k], 20) }, []string{"sun is down", "at night"}},
	} {
		h := copied(c.change)
		err := weatherfile.Check("own.csv", h, &weatherfile.Place{Located: true, Latitude: s.Latitude}, &s)
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		for _, w := range c.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q lacks %q", name, err, w)
			}
		}
	}
}

// Unusual years and neighbours pass with a note; the year itself and a bad year pass
// as they are.
func TestCheckPasses(t *testing.T) {
	s := climatetest.Station(t, "london")
	place := func() *weatherfile.Place { return &weatherfile.Place{Located: true, Latitude: s.Latitude} }
	for name, c := range map[string]struct {
		change func(*hourly.Hours, int)
		note   string
	}{
		"as it is":     {func(*hourly.Hours, int) {}, ""},
		"very warm":    {func(h *hourly.Hours, k int) { h.Theta[k] += 3 }, "temperature is unusual"},
		"knots":        {func(h *hourly.Hours, k int) { h.Wind[k] *= 1.944 }, "wind is unusual"},
		"dry year":     {func(h *hourly.Hours, k int) { h.Rain[k] /= 2 }, "rain is unusual"},
		"wind turned":  {func(h *hourly.Hours, k int) { h.WindFrom[k] = math.Mod(h.WindFrom[k]+180, 360) }, "where the wind blows to"},
		"clock by 1 h": {func(h *hourly.Hours, k int) { h.Global[k] = london().Global[(k+1)%8760] }, "1 h off"},
	} {
		p := place()
		if err := weatherfile.Check("own.csv", copied(c.change), p, &s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if c.note == "" && len(p.Notes) > 0 || !strings.Contains(strings.Join(p.Notes, " "), c.note) {
			t.Errorf("%s: notes %q, expected %q", name, p.Notes, c.note)
		}
	}
}
