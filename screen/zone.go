package screen

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"

	"wallsift/config"
	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/climate/weatherfile"
	"wallsift/model/rain"
	"wallsift/model/simulate"
	"wallsift/model/steady"
)

// orientationStep is the grid in degrees on which driving rain is kept: the
// direction rose is smooth, 5° changes it by less than 1 %.
const orientationStep = 5

// warmingSteps and warmingStep span the heat from inside, in K at 0 °C outside,
// for which frost cycles are kept.
const (
	warmingSteps = 41
	warmingStep  = 0.25
)

// stoneDiffusivity in m²/s damps the daily swing on its way to the frost depth.
// From memory: 0.5e-6 to 1.5e-6 for masonry.
const stoneDiffusivity = 1e-6

// badYears is how many different bad years draws are judged in, badSpan of how
// many years each is the worst: an answer speaks of the worst year of a decade.
const (
	badYears = 8
	badSpan  = 10
)

// zone is a climate word of the inventory, that of a row or the id of a station, with all
// that cases need of its station. It is filled on first use and then only read.
type zone struct {
	config.Zone
	station *climate.Station
	given   *weather // the user's weather file, nil where the hours are generated

	once        sync.Once
	months      [climate.IndoorRules][12]steady.Month
	degreeHours float64
	rain        [360 / orientationStep]rain.Normals
	frost       [warmingSteps]float64       // wet cycles a year
	mean        *simulate.Climate           // that walls settle on
	bad         *simulate.Climate           // that the typical world is judged in; nil: the mean one
	years       [badYears]*simulate.Climate // that draws are judged in, likewise
	bearings    func() [bearings]bearing    // made on first use
}

// bearing is what a face of one orientation gets in the mean year.
type bearing struct {
	rain float64 // l/m²a, airfield index
	sun  float64 // W/m², mean
}

const bearings = 24

func (z *zone) fill(cfg *config.Config) {
	z.once.Do(func() {
		s := z.station
		pe := climate.VapourPressure(s)
		for rule := climate.Indoor(1); int(rule) < climate.IndoorRules; rule++ {
			for m := range 12 {
				ti, pi := rule.Room(cfg.Indoor.Temperature, s.Temp[m], pe[m])
				z.months[rule][m] = steady.Month{Te: s.Temp[m], Pe: pe[m], Ti: ti, Pi: pi}
			}
		}
		z.degreeHours = climate.HeatingDegreeHours(s, cfg.Energy.BaseTemperature)
		for i := range z.rain {
			z.rain[i] = rain.AirfieldFromNormals(s, float64(i*orientationStep))
		}
		damping := climate.Damping(cfg.Limits["frost_depth"].Value, stoneDiffusivity)
		for i := range z.frost {
			z.frost[i] = climate.YearSum(climate.WetCrossings(s, damping, float64(i)*warmingStep))
		}
		z.mean = z.climate(cfg, 0, uint64(cfg.Run.Seed), "mean year generated from monthly figures")
		if z.given == nil && cfg.Run.Weather == "design" {
			z.bad = z.climate(cfg, hourly.OneInTen, uint64(cfg.Run.Seed), "bad year, passed once in ten, generated from monthly figures")
			for i := range z.years {
				// The middle of each part of the law of the worst of badSpan normal years.
				p := math.Pow((float64(i)+0.5)/badYears, 1.0/badSpan)
				z.years[i] = z.climate(cfg, distuv.UnitNormal.Quantile(p), uint64(cfg.Run.Seed)<<8+uint64(i)+1, "bad year of a decade")
			}
		}
		z.bearings = sync.OnceValue(func() (out [bearings]bearing) {
			for i := range out {
				out[i].rain, out[i].sun = z.mean.Toward(float64(i) * 360 / bearings)
			}
			return out
		})
	})
}

// toward returns the airfield rain for a wall that faces degrees.
func (z *zone) toward(degrees float64) rain.Normals {
	return z.rain[int(degrees/orientationStep+0.5)%len(z.rain)]
}

// frostCycles returns the wet freeze–thaw cycles a year of a face that keeps
// the given share of the inside–outside difference at the frost depth.
func (z *zone) frostCycles(share float64) float64 {
	x := min(share*climate.IndoorTemp/warmingStep, warmingSteps-1)
	i := min(int(x), warmingSteps-2)
	return z.frost[i] + (x-float64(i))*(z.frost[i+1]-z.frost[i])
}

// climate is one year of the station, whose hours are made when they are asked for, or
// the user's.
func (z *zone) climate(cfg *config.Config, deviate float64, seed uint64, label string) *simulate.Climate {
	c := &simulate.Climate{ID: z.fingerprint(seed, deviate), Label: label, Latitude: z.station.Latitude, Room: cfg.Indoor.Temperature}
	if z.given != nil {
		c.Hours, c.Label = func() *hourly.Hours { return z.given.hours }, "weather file"
		p := z.given.place
		c.Latitude, c.Longitude, c.TimeZone = p.Latitude, p.Longitude, p.TimeZone
		return c
	}
	c.Hours = sync.OnceValue(func() *hourly.Hours { return hourly.Generate(z.station, seed, deviate) })
	return c
}

func (z *zone) bearing(azimuth float64) bearing {
	at := math.Mod(math.Mod(azimuth, 360)+360, 360) * bearings / 360
	i := int(at) % bearings
	all, t := z.bearings(), at-math.Floor(at)
	a, b := all[i], all[(i+1)%bearings]
	return bearing{a.rain + t*(b.rain-a.rain), a.sun + t*(b.sun-a.sun)}
}

// nearlyEqual is a difference in rain or sun between two facings too small to
// make the drier one govern.
const nearlyEqual = 0.1

// front returns the facings that can govern, most driving rain first: one with
// less rain and more sun than another cannot.
func (z *zone) front(facings []float64) []float64 {
	sorted := slices.Clone(facings)
	slices.SortFunc(sorted, func(a, b float64) int {
		return cmp.Or(cmp.Compare(z.bearing(b).rain, z.bearing(a).rain), cmp.Compare(z.bearing(a).sun, z.bearing(b).sun), cmp.Compare(a, b))
	})
	var out []float64
	least := math.Inf(1)
	for _, f := range sorted {
		if sun := z.bearing(f).sun; sun < least*(1-nearlyEqual) {
			out = append(out, f)
			least = sun
		}
	}
	return out
}

// weather is a station's hourly weather file.
type weather struct {
	WeatherFile
	hours *hourly.Hours
	place *weatherfile.Place
	notes []string
}

// WeatherFile is an hourly weather file that stands in for the generated hours
// of a station.
type WeatherFile struct {
	Station string   `json:"station"`
	File    string   `json:"file"`
	SHA256  string   `json:"sha256"` // of the file, hexadecimal
	Zones   []string `json:"zones"`  // words of climate_zone that mean the station
}

// WeatherFiles lists the weather files the engine read, by station. In the
// steady tier it reads none.
func (e *Engine) WeatherFiles() []WeatherFile {
	out := []WeatherFile{}
	for _, z := range e.zones {
		if z.ID == z.Station && z.given != nil {
			out = append(out, z.given.WeatherFile)
		}
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
	w := &weather{WeatherFile: WeatherFile{Station: s.ID, File: path, SHA256: hex.EncodeToString(sum.Sum(nil))}, hours: h, place: p}
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
		made.File, made.Place = z.given.SHA256, z.given.place
	}
	text, err := json.Marshal(made)
	if err != nil {
		panic(err) // figures are finite: the configuration is checked
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
