package simulate_test

import (
	"fmt"
	"sync"
	"testing"

	"wallsift/config"
	"wallsift/model/climate"
	"wallsift/model/climate/hourly"
	"wallsift/model/damage"
	"wallsift/model/indicator"
	"wallsift/model/material"
	"wallsift/model/simulate"
	"wallsift/model/transient"
	"wallsift/model/wall"
)

// loaded are the materials and stations of the embedded tables.
var loaded = sync.OnceValues(func() (*tables, error) {
	l, err := config.Load(config.Inputs{})
	if err != nil {
		return nil, err
	}
	return &tables{material.Resolve(l.Config.Materials), l.Config.Stations}, nil
})

type tables struct {
	materials map[string]material.Material
	stations  map[string]climate.Station
}

func defaults(t testing.TB) (map[string]material.Material, map[string]climate.Station) {
	t.Helper()
	l, err := loaded()
	if err != nil {
		t.Fatal(err)
	}
	return l.materials, l.stations
}

// years keeps generated years, which carry the indoor air with them.
var years = map[string]*simulate.Climate{}

func year(t testing.TB, stations map[string]climate.Station, id string, deviate float64) *simulate.Climate {
	t.Helper()
	key := fmt.Sprint(id, deviate)
	if y := years[key]; y != nil {
		return y
	}
	s, ok := stations[id]
	if !ok {
		t.Fatalf("no station %s", id)
	}
	h := hourly.Generate(&s, 1, deviate)
	years[key] = &simulate.Climate{ID: key, Hours: func() *hourly.Hours { return h }, Latitude: s.Latitude, Room: 20}
	return years[key]
}

var places = simulate.Places{
	Timber: [3]float64{0.10, 0.05, 0.05}, Frost: 0.01, WetFilling: 0.5, CornerRsi: 0.25, Absorptivity: 0.6,
}

var limits = indicator.Limits{
	Timber: damage.TimberLine{RH0: 0.95, RH30: 0.86}, TimberMoisture: 0.20, TimberActivation: 1, MouldSurface: 1, MouldCold: 3, Condensate: 1, CondensateNonabsorbent: 0.5,
	AbsorbentAw: 0.0083, AirLeak: 0.1, WetFrontShare: 0.67, FrostMore: 0,
}

// screening are the default numerics of what a screening run tells: config/defaults.
var screening = simulate.Settings{Cells: 20, Settle: transient.Gather{Hours: 24}, Judge: transient.Gather{Hours: 12}, Tolerance: 20, Years: 12, CloseEnough: 0.01}

// settings are finer, so that what walls do is seen and not the numerics.
var settings = simulate.Settings{Cells: 24, Settle: transient.Gather{Hours: 4}, Judge: transient.Gather{Hours: 4}, Tolerance: 8, Years: 12, CloseEnough: 0.002}

func stone(m *material.Material) simulate.Stone {
	return simulate.Stone{LambdaMoisture: m.LambdaMoisture, Density: m.Density.Typical, HeatCapacity: m.HeatCapacity, MuDry: m.MuDry, MuWet: m.MuWet,
		Aw: m.Aw.Typical, W80: m.W80.Typical, Wf: m.Wf.Typical, Scrit: m.Scrit.Typical}
}

// masonry is a wall of one material, with layers of others behind it: material
// id, thickness (0 for membranes), and the sized one marked by a leading '*'.
type behind struct {
	id    string
	d     float64
	sized bool
}

func build(t testing.TB, mats map[string]material.Material, id string, d float64, list ...behind) wall.Wall {
	t.Helper()
	var w wall.Wall
	m := mats[id]
	w.Add(wall.NewLayer(&m, d, m.Lambda.Typical, 0, wall.Masonry))
	for _, b := range list {
		l := mats[b.id]
		role := wall.Plain
		if b.sized {
			role = wall.Sized
		}
		w.Add(wall.NewLayer(&l, b.d, l.Lambda.Typical, 0, role))
	}
	return w
}
