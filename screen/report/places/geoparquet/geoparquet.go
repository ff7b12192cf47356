// Package geoparquet makes what turns a Parquet file into one that geographic
// programs read: the points of a geometry column, and the metadata that
// describes it, after GeoParquet 1.1.0. It refuses lines and areas, and
// reference systems other than longitude and latitude on WGS 84.
package geoparquet

import (
	"encoding/json"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
)

const (
	// Column is the name of the geometry column: Parquet binary, null where a
	// building has no place.
	Column = "geometry"
	// MetadataKey is the key of Metadata in the file's key-value metadata.
	MetadataKey = "geo"
)

// Point returns well-known binary (OGC 06-103r4, 21 bytes, little-endian) for a
// place in degrees east and north, and false when the place is not known or not
// on the globe.
func Point(lon, lat float64) ([]byte, bool) {
	if !Known(lon, lat) {
		return nil, false
	}
	b, err := wkb.Marshal(orb.Point{lon, lat}) // little-endian by default
	return b, err == nil
}

// Known says whether a place, in degrees east and north, can be drawn: both
// numbers are there and in the range of WGS 84.
func Known(lon, lat float64) bool {
	return lon >= -180 && lon <= 180 && lat >= -90 && lat <= 90 // false for NaN
}

// Metadata is the JSON text to store under MetadataKey, for a column of points
// within the extent. It leaves out crs, which then is OGC:CRS84, longitude before
// latitude.
func Metadata(e Extent) string {
	bounds := ""
	if box, ok := e.Box(); ok {
		b, _ := json.Marshal(box) // numbers are finite, see Known
		bounds = `,"bbox":` + string(b)
	}
	return `{"version":"1.1.0","primary_column":"` + Column + `","columns":{"` + Column + `":{"encoding":"WKB","geometry_types":["Point"]` + bounds + `}}}`
}

// Extent gathers the bounding box of points. Make it with NewExtent.
type Extent struct {
	west, east orb.Bound // of the points in each hemisphere
}

// NewExtent returns an extent without points.
func NewExtent() Extent {
	none := orb.MultiPoint{}.Bound()
	return Extent{none, none}
}

// Add takes a point, in degrees east and north, for which Known holds.
func (e *Extent) Add(lon, lat float64) {
	half := &e.east
	if lon < 0 {
		half = &e.west
	}
	*half = half.Extend(orb.Point{lon, lat})
}

// Box returns west, south, east and north, and false when there is no point. It
// is the narrowest box; west is greater than east when that one crosses the
// 180th meridian (RFC 7946 section 5.2).
func (e *Extent) Box() (box [4]float64, ok bool) {
	all := e.west.Union(e.east)
	if all.IsEmpty() {
		return box, false
	}
	from, to := all.Left(), all.Right()
	if !e.west.IsEmpty() && !e.east.IsEmpty() && 360-e.east.Left()+e.west.Right() < to-from {
		from, to = e.east.Left(), e.west.Right()
	}
	return [4]float64{from, all.Bottom(), to, all.Top()}, true
}
