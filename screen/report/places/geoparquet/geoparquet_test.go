package geoparquet_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wallsift/screen/report/places/geoparquet"
)

func TestKnown(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		lon, lat float64
		want     bool
	}{
		{0, 0, true}, {180, 90, true}, {-180, -90, true}, {180.1, 0, false}, {0, 90.5, false},
		{nan, 5, false}, {5, nan, false}, {math.Inf(1), 0, false},
	} {
		if got := geoparquet.Known(c.lon, c.lat); got != c.want {
			t.Errorf("Known(%v, %v) = %v", c.lon, c.lat, got)
		}
		if _, ok := geoparquet.Point(c.lon, c.lat); ok != c.want {
			t.Errorf("Point(%v, %v): %v", c.lon, c.lat, ok)
		}
	}
}

// The second case is the example of RFC 7946 section 5.2: a feature collection
// that holds the archipelago of Fiji, 16 to 20 degrees south and 177 degrees
// east to 178 degrees west, has the box [177, -20, -178, -16].
func TestBoxIsTheNarrowest(t *testing.T) {
	for _, c := range []struct {
		name   string
		points [][2]float64
		want   [4]float64
	}{
		{"one point", [][2]float64{{-29.6, 49.5}}, [4]float64{-29.6, 49.5, -29.6, 49.5}},
		{"across the 180th meridian", [][2]float64{{177, -20}, {-178, -16}, {179.5, -18}}, [4]float64{177, -20, -178, -16}},
		{"across Greenwich", [][2]float64{{-3, 50}, {2, 48}}, [4]float64{-3, 48, 2, 50}},
		{"western only", [][2]float64{{-123.1, 49}, {-29.6, 50}}, [4]float64{-123.1, 49, -29.6, 50}},
		{"eastern only", [][2]float64{{10.1, 49}, {179, 50}}, [4]float64{10.1, 49, 179, 50}},
	} {
		e := geoparquet.NewExtent()
		for _, p := range c.points {
			e.Add(p[0], p[1])
		}
		if got, ok := e.Box(); !ok || got != c.want {
			t.Errorf("%s: %v, expected %v", c.name, got, c.want)
		}
	}
	empty := geoparquet.NewExtent()
	if _, ok := empty.Box(); ok {
		t.Error("a box around nothing")
	}
}

// Every point lies in the box, read as RFC 7946 section 5.2 reads it, and the box
// is never wider than half the globe when all points lie within 90 degrees.
func TestBoxHoldsEveryPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := geoparquet.NewExtent()
		centre := rapid.Float64Range(-180, 180).Draw(t, "centre")
		var points [][2]float64
		for range rapid.IntRange(1, 8).Draw(t, "points") {
			lon := centre + rapid.Float64Range(-45, 45).Draw(t, "off")
			if lon > 180 {
				lon -= 360
			}
			if lon < -180 {
				lon += 360
			}
			p := [2]float64{lon, rapid.Float64Range(-90, 90).Draw(t, "lat")}
			points = append(points, p)
			e.Add(p[0], p[1])
		}
		box, _ := e.Box()
		width := box[2] - box[0]
		if width < 0 {
			width += 360
		}
		if width > 180 {
			t.Errorf("%v is %v wide", box, width)
		}
		for _, p := range points {
			in := p[0] >= box[0] && p[0] <= box[2]
			if box[0] > box[2] {
				in = p[0] >= box[0] || p[0] <= box[2]
			}
			if !in || p[1] < box[1] || p[1] > box[3] {
				t.Errorf("%v is outside %v", p, box)
			}
		}
	})
}

// Without a point there is no bbox to give; the rest stands (GeoParquet 1.1.0:
// bbox is optional).
func TestMetadataWithoutPoints(t *testing.T) {
	text := geoparquet.Metadata(geoparquet.NewExtent())
	if !json.Valid([]byte(text)) || strings.Contains(text, "bbox") || !strings.Contains(text, `"encoding":"WKB"`) {
		t.Error(text)
	}
}
