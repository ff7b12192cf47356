package screen

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"

	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
)

// weather is a station's hourly weather file.
type weather struct {
	hours *hourly.Hours
	place *weatherfile.Place
	notes []string
	path  string
	sum   string // SHA-256 of the file, hexadecimal
}

// WeatherFile is an hourly weather file that stands in for the generated hours
// of a station.
type WeatherFile struct {
	Station string   `json:"station"`
	File    string   `json:"file"`
	SHA256  string   `json:"sha256"`
	Zones   []string `json:"zones"` // words of climate_zone that mean the station
}

// WeatherFiles lists the weather files the engine read, by station. In the
// steady tier it reads none.
func (e *Engine) WeatherFiles() []WeatherFile {
	out := []WeatherFile{}
	for _, id := range slices.Sorted(maps.Keys(e.cfg.Stations)) {
		own, f := e.zoneOf[id], WeatherFile{Station: id}
		if own.given == nil {
			continue
		}
		f.File, f.SHA256 = own.given.path, own.given.sum
		for _, z := range e.zones {
			if z.station.ID == id {
				f.Zones = append(f.Zones, z.ID)
			}
		}
		out = append(out, f)
	}
	return out
}

// readWeather reads a station's weather file. What the file lacks is taken from
// the hours generated for the station.
func readWeather(path string, s *climate.Station, seed uint64) (*weather, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("stations.%s.weather_file: %w", s.ID, err)
	}
	defer f.Close()
	sum := sha256.New()
	all := io.TeeReader(f, sum)
	h, p, err := weatherfile.Read(path, all, s)
	if err == nil {
		_, err = io.Copy(io.Discard, all) // what it did not read is of the file too
	}
	if err == nil {
		err = weatherfile.Check(path, h, p, s)
	}
	if err != nil {
		return nil, fmt.Errorf("stations.%s.weather_file: %w", s.ID, err)
	}
	w := &weather{hours: h, place: p, path: path, sum: hex.EncodeToString(sum.Sum(nil))}
	if !p.Located {
		w.notes = append(w.notes, fmt.Sprintf("station %s: the weather file does not say where it is of; the place of the station was taken", s.ID))
	}
	for _, n := range p.Notes {
		w.notes = append(w.notes, fmt.Sprintf("station %s: in the weather file: %s", s.ID, n))
	}
	w.complete(s, seed)
	return w, nil
}

// complete fills what a file lacks: from the hours generated for the station, and
// direct and diffuse radiation and the sky from the file's own global radiation.
func (w *weather) complete(s *climate.Station, seed uint64) {
	g, h, p := hourly.Generate(s, seed, 0), w.hours, w.place
	sun := hourly.NewSun(p.Latitude, p.Longitude, p.TimeZone)
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
		h.DirectNormal, h.Diffuse = sun.Split(h.Global)
	}
	if h.SkyTheta == nil {
		h.SkyTheta = sun.Sky(h.Theta, h.RH, h.Global)
	}
}

// fingerprint names the hours of a station by what they are made of, so that nothing
// has to be made to find what a run of them came to.
func (z *zone) fingerprint(seed uint64, deviate float64) string {
	s := *z.station
	s.Label, s.Source, s.WeatherFile = "", "", ""
	made := struct {
		Method  string
		Station climate.Station
		Seed    uint64
		Deviate float64
		File    string
		Place   *weatherfile.Place
	}{Method: hourly.Method, Station: s, Seed: seed, Deviate: deviate}
	if z.given != nil {
		made.File, made.Place = z.given.sum, z.given.place
	}
	text, err := json.Marshal(made)
	if err != nil {
		panic(err) // figures are finite: the configuration is checked
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
