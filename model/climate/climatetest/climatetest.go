// Package climatetest gives tests the climate table. It is the one place below model
// that imports config, and only tests import it.
package climatetest

import (
	"maps"
	"sync"
	"testing"

	"wallsift/config"
	"wallsift/model/climate"
)

var defaults = sync.OnceValues(func() (*config.Loaded, error) { return config.Load(config.Inputs{}) })

// Table returns the default stations and the zones that they stand for.
func Table(t testing.TB) (map[string]climate.Station, map[string]config.Zone) {
	t.Helper()
	l, err := defaults()
	if err != nil {
		t.Fatal(err)
	}
	return maps.Clone(l.Config.Stations), l.Config.Zones // tests add stations of their own
}

// Station returns one station of the default table.
func Station(t testing.TB, id string) climate.Station {
	t.Helper()
	stations, _ := Table(t)
	s, ok := stations[id]
	if !ok {
		t.Fatalf("no station %q", id)
	}
	return s
}
