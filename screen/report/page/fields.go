package page

import (
	"strconv"
	"strings"

	"wallsift/ingest"
)

// spaced makes a column name readable: the page is for people.
func spaced(name string) string {
	if name == ingest.WaterAbsorption.Name() {
		return "water absorption A_w"
	}
	return strings.ReplaceAll(name, "_", " ")
}

func spacedAll(names []string) (out []string) {
	for _, s := range names {
		out = append(out, spaced(s))
	}
	return out
}

// unitOf returns the SI unit a number is kept in.
func unitOf(n ingest.Number) string {
	switch n {
	case ingest.WallThickness, ingest.Height, ingest.Elevation:
		return "m"
	case ingest.Orientation, ingest.Latitude, ingest.Longitude:
		return "°"
	case ingest.WallArea, ingest.FloorArea:
		return "m²"
	case ingest.WaterAbsorption:
		return "kg/(m²√s)"
	}
	return ""
}

func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// percent keeps its sign on the same line.
func percent(x float64) string { return fixed(100*x, 0) + "\u00a0%" }

// sampled says whether a chance was sampled: it is neither negative nor a NaN.
func sampled(chance float64) bool { return chance >= 0 }

var months = [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}
