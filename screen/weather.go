package screen

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"os"

	"wallsift/config"
	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
	"wallsift/model/simulate"
)

// weather is a station's hourly weather file.
type weather struct {
	hours *hourly.Hours
	place *weatherfile.Place
	notes []string
}

// readWeather reads a station's weather file. What the file lacks is taken from
// the hours generated for the station.
func readWeather(path string, s *climate.Station, seed uint64) (*weather, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("stations.%s.weather_file: %w", s.ID, err)
	}
	defer f.Close()
	h, p, err := weatherfile.Read(path, f)
	if err != nil {
		return nil, fmt.Errorf("stations.%s.weather_file: %w", s.ID, err)
	}
	if !p.Located { // the clock of the station's longitude, to the hour
		p.Latitude, p.Longitude, p.TimeZone = s.Latitude, s.Longitude, math.Round(s.Longitude/15)
	}
	w := &weather{hours: h, place: p, notes: p.Notes}
	return w, w.complete(s, seed)
}

// complete fills what a file lacks: from the hours generated for the station, and
// direct and diffuse radiation and the sky from the file's own global radiation.
func (w *weather) complete(s *climate.Station, seed uint64) error {
	g, err := hourly.Generate(s, seed, hourly.Mean)
	if err != nil {
		return err
	}
	h, p := w.hours, w.place
	for _, c := range []struct {
		name string
		to   *[]float64
		from []float64
	}{{"rain", &h.Rain, g.Rain}, {"wind", &h.Wind, g.Wind}, {"wind direction", &h.WindFrom, g.WindFrom}, {"global radiation", &h.Global, g.Global}} {
		if *c.to == nil {
			*c.to = c.from
			w.notes = append(w.notes, fmt.Sprintf("station %s: the weather file has no %s; it is generated from the monthly figures and does not follow the file's other values", s.ID, c.name))
		}
	}
	if h.DirectNormal == nil || h.Diffuse == nil {
		h.DirectNormal, h.Diffuse = hourly.SplitGlobal(h.Global, p.Latitude, p.Longitude, p.TimeZone)
	}
	if h.SkyTheta == nil {
		h.SkyTheta = hourly.SkyFromGlobal(h.Theta, h.RH, h.Global, p.Latitude, p.Longitude, p.TimeZone)
	}
	return nil
}

// hourly returns the hours of the zone's station, generated on first use.
func (z *zone) hourly(cfg *config.Config) *simulate.Climate {
	z.hour.Do(func() {
		kind := hourly.Design
		if cfg.Run.Weather == "mean" {
			kind = hourly.Mean
		}
		c := &simulate.Climate{Label: kind.String() + " year generated from monthly figures", Latitude: z.station.Latitude, Room: cfg.Indoor.Temperature}
		if z.given != nil {
			c.Hours, c.Label = z.given.hours, "weather file"
			p := z.given.place
			c.Latitude, c.Longitude, c.TimeZone = p.Latitude, p.Longitude, p.TimeZone
		} else {
			h, err := hourly.Generate(z.station, uint64(cfg.Run.Seed), kind)
			if err != nil {
				panic(err) // stations are validated when the configuration is
			}
			c.Hours = h
		}
		c.ID = fingerprint(c)
		z.course = c
	})
	return z.course
}

// fingerprint names hours by what they hold.
func fingerprint(c *simulate.Climate) string {
	sum := sha256.New()
	var buf []byte
	for _, list := range [][]float64{c.Hours.Theta, c.Hours.RH, c.Hours.Wind, c.Hours.WindFrom, c.Hours.Rain, c.Hours.DirectNormal, c.Hours.Diffuse, c.Hours.Global, c.Hours.SkyTheta,
		{c.Latitude, c.Longitude, c.TimeZone}} {
		buf = buf[:0]
		for _, x := range list {
			buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(x))
		}
		sum.Write(buf)
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// weatherOf returns the path of a station's weather file, "" without one.
func (e *Engine) weatherOf(station string) string { return e.cfg.Stations[station].WeatherFile }
