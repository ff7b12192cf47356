package ingest

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Facings is a set of compass directions in sectors of 22.5°: bit k stands for
// the sector centred on k·22.5°, clockwise from north. 0 means not known.
type Facings uint16

// AllFacings is every direction.
const AllFacings Facings = 0xffff

const sectorWidth = 22.5 // degrees

var compassPoints = strings.Fields("N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW")

// FacingOf returns the set of the one sector that holds an azimuth, in degrees
// clockwise from north. Any finite angle is accepted.
func FacingOf(azimuth float64) Facings {
	return 1 << (int(math.Floor(azimuth/sectorWidth+0.5)) & 15)
}

// Azimuths lists the centres of the sectors, in degrees clockwise from north,
// 0 first; nil when the set is empty.
func (f Facings) Azimuths() (out []float64) {
	for k := range compassPoints {
		if f&(1<<k) != 0 {
			out = append(out, float64(k)*sectorWidth)
		}
	}
	return out
}

// String names the directions as points of the compass with blanks between
// them, "all" for every one and "" where none is known. A cell of exposed_facings
// may hold it.
func (f Facings) String() string {
	if f == AllFacings {
		return "all"
	}
	var out []string
	for k, p := range compassPoints {
		if f&(1<<k) != 0 {
			out = append(out, p)
		}
	}
	return strings.Join(out, " ")
}

// parseFacings reads a list of points of the compass or of degrees. orientation
// is where the main wall faces, in degrees, NaN if not known: without it, the
// front and the back of a home may face anywhere, and the set stays empty.
func parseFacings(s string, orientation float64) (f Facings, p problem) {
	expected := problem{"points of the compass or degrees were expected, such as N/E/S, 0 90 180, front_back or all",
		"write the facings that are outside walls, or leave the cell blank"}
	switch fold(s) {
	case "all":
		return AllFacings, p
	case "frontback", "frontandback":
		if math.IsNaN(orientation) {
			return 0, p
		}
		return FacingOf(orientation) | FacingOf(orientation+180), p
	case "unknown":
		return 0, p
	}
	words := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" /,;+&\u00a0\t", r) })
	for i, w := range words {
		azimuth, named := compass[fold(w)]
		if !named {
			var err error
			azimuth, err = strconv.ParseFloat(strings.TrimSuffix(w, "°"), 64)
			if err != nil || !(azimuth >= 0 && azimuth <= 360) {
				return 0, expected
			}
		}
		if i > 0 && len(fold(w)) == 4 && len(fold(words[i-1])) == 5 && strings.Contains(s, words[i-1]+" "+w) {
			return 0, problem{fmt.Sprintf("%q could be one direction or two", shorten(s)), "write NE for one direction and N/E for two"}
		}
		f |= FacingOf(azimuth)
	}
	if f == 0 {
		return 0, expected
	}
	return f, p
}
