package geoparquet

import "math"

// Extent gathers the bounding box of points. Make it with NewExtent.
type Extent struct {
	n            int
	south, north float64
	west, east   float64
	// The sides of the box that crosses the 180th meridian: the westernmost
	// point of the eastern hemisphere, and the easternmost of the western.
	eastern, western float64
}

// NewExtent returns an extent without points.
func NewExtent() Extent {
	inf := math.Inf(1)
	return Extent{south: inf, north: -inf, west: inf, east: -inf, eastern: inf, western: -inf}
}

// Add takes a point, in degrees east and north, for which Known holds.
func (e *Extent) Add(lon, lat float64) {
	e.n++
	e.south, e.north = min(e.south, lat), max(e.north, lat)
	e.west, e.east = min(e.west, lon), max(e.east, lon)
	if lon < 0 {
		e.western = max(e.western, lon)
	} else {
		e.eastern = min(e.eastern, lon)
	}
}

// Box returns west, south, east and north, and false when there is no point. It
// is the narrowest box; west is greater than east when that one crosses the
// 180th meridian (RFC 7946 section 5.2).
func (e *Extent) Box() (box [4]float64, ok bool) {
	if e.n == 0 {
		return box, false
	}
	both := e.west < 0 && e.east >= 0
	if both && 360-e.eastern+e.western < e.east-e.west {
		return [4]float64{e.eastern, e.south, e.western, e.north}, true
	}
	return [4]float64{e.west, e.south, e.east, e.north}, true
}
