package hourly_test

import (
	"math"
	"testing"

	"wallsift/model/climate/climatetest"
	"wallsift/model/climate/hourly"
)

// Diffuse share of a year's global radiation: London 0.6, Albuquerque 0.3, from
// memory of handbooks; ±0.1. The mean sky is 5 to 15 K colder than the air in
// London, 12 to 25 K in Albuquerque (from memory).
func TestYearOfSunAndSky(t *testing.T) {
	for id, want := range map[string][3]float64{"london": {0.6, 5, 15}, "albuquerque": {0.3, 12, 25}} {
		s := climatetest.Station(t, id)
		h := generate(t, &s, 1, 0)
		diffuse, global, cold, beam := 0.0, 0.0, 0.0, 0.0
		for k := range h.Global {
			diffuse += h.Diffuse[k]
			global += h.Global[k]
			cold += (h.Theta[k] - h.SkyTheta[k]) / 8760
			beam = max(beam, h.DirectNormal[k])
		}
		share := diffuse / global
		t.Logf("%s: diffuse share %.2f, sky %.1f K below the air, strongest beam %.0f W/m²", id, share, cold, beam)
		if math.Abs(share-want[0]) > 0.1 {
			t.Errorf("%s: diffuse share %.2f, expected %.1f", id, share, want[0])
		}
		if cold < want[1] || cold > want[2] {
			t.Errorf("%s: sky %.1f K below the air, expected %v to %v", id, cold, want[1], want[2])
		}
	}
}

// Clear sky at 20 °C and 50 % (dew point 9.3 °C): emissivity 0.711 + 0.56·0.093 +
// 0.73·0.093² = 0.769, worked by hand; 293.15·0.769^(1/4) = 274.5 K. Overcast:
// 0.84 of it black, 0.16·0.769 + 0.84 = 0.963, 290.4 K.
func TestSkyTemperature(t *testing.T) {
	for cloud, want := range map[float64]float64{0: 1.4, 1: 17.25} {
		if got := hourly.SkyTemperature(20, 0.5, cloud); math.Abs(got-want) > 0.15 {
			t.Errorf("cover %v: %.2f °C, expected %.2f", cloud, got, want)
		}
	}
}

func TestLiquid(t *testing.T) {
	h := &hourly.Hours{Theta: []float64{-3, 1, 5}, Rain: []float64{2, 2, 2}}
	got := h.Liquid()
	for k, want := range []float64{0, 1, 2} {
		if got.Rain[k] != want || h.Rain[k] != 2 {
			t.Errorf("hour %d: %v, expected %v; the source has %v", k, got.Rain[k], want, h.Rain[k])
		}
	}
	if none := (&hourly.Hours{Theta: []float64{1}}).Liquid(); none.Rain != nil {
		t.Error("rain out of nothing")
	}
}
